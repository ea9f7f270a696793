// The strings of a page in a browser against those of the files (see string.mjs): every number of every mix.

// Compares in the page, where `/strings.js` and the folder of mixes `/mixes/` are served; gives how many samples.
export async function compared(page, address) {
  await page.goto(`${address}/strings.html`);
  return page.evaluate(async () => {
    const asked = async (name) => {
      const answer = await fetch(`/mixes/${name}`);
      if (!answer.ok) throw new Error(`${name} is not there`);
      return answer;
    };
    const scores = strings.scores(await (await asked("scores.json")).json());
    let samples = 0;
    for (const [index, score] of scores.entries()) {
      const wished = new BigUint64Array(await (await asked(`${index}.mix`)).arrayBuffer());
      let at = 0;
      for (const sides of strings.mix(score)) {
        const [left, right] = sides.map((side) => new BigUint64Array(side.buffer));
        for (let one = 0; one < left.length; one += 1, at += 2) {
          if (left[one] !== wished[at] || right[one] !== wished[at + 1]) throw new Error(`score ${index} differs at sample ${at / 2}`);
        }
      }
      if (at !== wished.length) throw new Error(`score ${index} has ${at / 2} samples, not ${wished.length / 2}`);
      samples += at / 2;
    }
    if (scores.length === 0) throw new Error("there are no scores");
    return samples;
  });
}
