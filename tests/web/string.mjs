// The strings of a page against those of the files: each number of the mix has the same bits, and each sample is the same.
//
//     node tests/web/string.mjs FOLDER
//
// The folder has scores.json, as a page has it, and 0.mix, 1.mix … as Rust mixes each score: 64-bit numbers, left and
// right in turn, and 0.samples …, the same in 16 bits. The test `page_sound` writes them.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

const strings = createRequire(import.meta.url)("../../templates/string.js");
const [folder] = process.argv.slice(2);

// The numbers that a file has.
function numbers(Kind, name) {
  const bytes = readFileSync(join(folder, name));
  return new Kind(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length));
}

function compare(score, index) {
  const expected = numbers(BigUint64Array, `${index}.mix`);
  const samples = numbers(Int16Array, `${index}.samples`);
  assert.equal(strings.length(score) * 2, expected.length, `score ${index}: how long it is`);
  let at = 0;
  for (const sides of strings.mix(score)) {
    const [left, right] = sides.map((side) => new BigUint64Array(side.buffer));
    const rounded = sides.map((side) => side.map(strings.roundedOff));
    for (let one = 0; one < left.length; one += 1, at += 2) {
      const sameBits = left[one] === expected[at] && right[one] === expected[at + 1];
      if (sameBits && rounded[0][one] === samples[at] && rounded[1][one] === samples[at + 1]) continue;
      const wanted = new Float64Array(expected.buffer, 8 * at, 2);
      assert.fail(`score ${index}, sample ${at / 2}: ${sides.map((side) => side[one])}, not ${[...wanted]}`);
    }
  }
  assert.equal(at, expected.length, `score ${index}: how many samples are made`);
}

const text = readFileSync(join(folder, "scores.json"), "utf8");
assert.ok(!text.includes("<"), "it may stand in a page");
// All four sounds over four octaves, with all that damps them; a lesson has one or two, with half of that.
assert.ok(text.length < 120_000, `a page of 400 kB has room for it: ${text.length}`);
const scores = strings.scores(JSON.parse(text));
assert.ok(scores.length > 0);
const begun = performance.now();
scores.forEach(compare);
const samples = scores.reduce((all, score) => all + strings.length(score), 0);
const seconds = (performance.now() - begun) / 1000;
console.log(`${scores.length} scores, ${samples} samples, bit by bit, ${(samples / strings.RATE / seconds).toFixed(0)} times as fast as they sound`);
