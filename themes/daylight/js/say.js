// Fixed words in the language of the page: English where it brings no others.
"use strict";
const say = (() => {
  let told = null;
  const table = () => (told ||= JSON.parse((document.getElementById("wording") || { textContent: "{}" }).textContent));
  const words = (pattern, values = {}) =>
    ((table().words || {})[pattern] || pattern).replace(/\{(\w+)\}/g, (blank, name) => (name in values ? values[name] : blank));
  // The decimal mark of the page's language.
  words.mark = () => table().mark || ".";
  return words;
})();
