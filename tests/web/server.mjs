// A server of files on this machine that notes what it is asked for.

import { readFile } from "node:fs/promises";
import { createServer } from "node:http";
import { extname, join, normalize } from "node:path";

const KINDS = { ".html": "text/html", ".js": "text/javascript", ".json": "application/json" };

// Serves folders, each under a path that ends with a slash; the first that fits.
export async function served(folders) {
  const asked = [];
  const server = createServer(async (request, response) => {
    const path = decodeURIComponent(new URL(request.url, "http://localhost").pathname);
    asked.push(path);
    const [under, folder] = Object.entries(folders).find(([under]) => path.startsWith(under));
    try {
      const bytes = await readFile(join(folder, normalize(`/${path.slice(under.length)}`)));
      response.writeHead(200, { "Content-Type": KINDS[extname(path)] ?? "application/octet-stream" });
      response.end(bytes);
    } catch {
      response.writeHead(404).end();
    }
  });
  await new Promise((ready) => server.listen(0, "127.0.0.1", ready));
  return { address: `http://127.0.0.1:${server.address().port}`, asked, close: () => server.close() };
}
