// The strings of a page against those of the files: each number of the mix has the same bits.
//
//     node tests/web/string.mjs FOLDER
//
// The folder has scores.json, as a page has it, and 0.mix, 1.mix … as Rust mixes each score: 64-bit numbers, left and
// right in turn. The test `page_sound` writes it.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

const strings = createRequire(import.meta.url)("../../templates/string.js");
const [folder] = process.argv.slice(2);

// The mix that a file has, as whole numbers of 64 bits.
function bitsOf(name) {
  const bytes = readFileSync(join(folder, name));
  return new BigUint64Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length));
}

function compare(score, index) {
  const expected = bitsOf(`${index}.mix`);
  assert.equal(strings.length(score) * 2, expected.length, `score ${index}: how long it is`);
  let at = 0;
  for (const sides of strings.mix(score)) {
    const [left, right] = sides.map((side) => new BigUint64Array(side.buffer));
    for (let one = 0; one < left.length; one += 1, at += 2) {
      if (left[one] === expected[at] && right[one] === expected[at + 1]) continue;
      const wanted = new Float64Array(expected.buffer, 8 * at, 2);
      assert.fail(`score ${index}, sample ${at / 2}: ${sides.map((side) => side[one])}, not ${[...wanted]}`);
    }
  }
  assert.equal(at, expected.length, `score ${index}: how many samples are made`);
}

const text = readFileSync(join(folder, "scores.json"), "utf8");
assert.ok(!text.includes("<"), "it may stand in a page");
const scores = strings.scores(JSON.parse(text));
assert.ok(scores.length > 0);
const begun = performance.now();
scores.forEach(compare);
const samples = scores.reduce((all, score) => all + strings.length(score), 0);
const seconds = (performance.now() - begun) / 1000;
console.log(`${scores.length} scores, ${samples} samples, bit by bit, ${(samples / strings.RATE / seconds).toFixed(0)} times as fast as they sound`);
