"use strict";
// What a student turns on and off: classes of the page's root. What was changed is remembered on this machine alone.
{
  const place = document.getElementById("switches");
  const on = document.documentElement.classList;
  // A browser may forbid a page to remember anything.
  const remembered = (name) => {
    try {
      return localStorage.getItem(`fretleaf ${name}`);
    } catch {
      return null;
    }
  };
  const remember = (name, state) => {
    try {
      localStorage.setItem(`fretleaf ${name}`, state);
    } catch {
      // It holds until the page is left.
    }
  };
  for (const { name } of place ? place.elements : []) {
    if (!name) continue;
    const box = place.elements[name];
    const state = remembered(name);
    if (state) on.toggle(name, state === "on");
    box.checked = on.contains(name);
    box.addEventListener("change", () => {
      on.toggle(name, box.checked);
      remember(name, box.checked ? "on" : "off");
    });
  }
  if (place) place.hidden = false;
}
