"use strict";
// Searching the list of lessons: those stay that have every word.
const place = document.getElementById("search");
const [field, found] = [place.querySelector("input"), place.querySelector("output")];
// Signs as they are typed, letters without their marks.
const plain = (text) => text.replaceAll("♯", "#").replaceAll("♭", "b").normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
const lessons = [...document.querySelectorAll("main > section")].map((shown) => ({ shown, text: plain(shown.textContent) }));
const search = () => {
  const words = plain(field.value).split(/\s+/u);
  for (const { shown, text } of lessons) shown.hidden = !words.every((word) => text.includes(word));
  found.textContent = `${lessons.filter(({ shown }) => !shown.hidden).length} of ${lessons.length}`;
};
field.addEventListener("input", search);
place.hidden = false;
search();
