// The index found through: by words that may be mistyped, by machine, by part; the page itself stays as it is.
"use strict";
document.addEventListener("DOMContentLoaded", () => {
  const MOST = 40;
  const at = (id) => document.getElementById(id);
  const entries = JSON.parse(at("entries").textContent);
  const articles = [...document.querySelectorAll("article")];
  const homes = articles.map((article) => article.parentNode);
  const search = new MiniSearch({
    fields: ["code", "title", "complaint", "parts", "machine", "words"],
    storeFields: [],
    searchOptions: {
      combineWith: "AND",
      prefix: (term) => term.length > 1,
      // Two letters changed places count as two slips.
      fuzzy: (term) => (/\d/.test(term) || term.length < 4 ? false : term.length < 5 ? 1 : 2),
      boost: { code: 6, title: 4, complaint: 5, parts: 3, machine: 2 },
    },
  });
  // The look that was chosen on a checklist of this device; without one the device's own scheme counts.
  const look = () => {
    try {
      return localStorage.getItem("benchleaf-look");
    } catch {
      return "";
    }
  };
  if (look()) document.documentElement.dataset.look = look();
  let ready = null;
  let turn = 0;

  // Made when somebody begins to search, piece by piece, so that the page never stands still.
  const prepare = () => (ready ||= search.addAllAsync(entries.map((entry, id) => ({ id, ...entry, parts: entry.parts.join("; ") })), { chunkSize: 100 }));

  for (const [id, names] of [["machine", entries.map((entry) => entry.machine)], ["part", entries.flatMap((entry) => entry.parts)]]) {
    for (const name of [...new Set(names)].sort((a, b) => a.localeCompare(b))) {
      const option = document.createElement("option");
      option.value = option.textContent = name;
      at(id).append(option);
    }
  }

  const fits = (entry) => (!at("machine").value || entry.machine === at("machine").value) && (!at("part").value || entry.parts.includes(at("part").value));

  async function find() {
    const mine = ++turn;
    const words = at("words").value.trim();
    const asked = words || at("machine").value || at("part").value;
    if (words) await prepare();
    if (mine !== turn) return;
    const ids = words ? search.search(words).map((found) => found.id) : entries.map((_, id) => id);
    show(asked ? ids.filter((id) => fits(entries[id])) : null);
  }

  // Found articles move to the top in the order of how well they fit; null puts all back to their places.
  function show(ids) {
    articles.forEach((article, id) => article.parentNode !== homes[id] && homes[id].append(article));
    for (const home of new Set(homes)) home.append(...articles.filter((_, id) => homes[id] === home));
    at("all").hidden = Boolean(ids);
    at("found").hidden = !ids;
    if (!ids) return (at("told").textContent = "");
    at("found").replaceChildren(...ids.slice(0, MOST).map((id) => articles[id]));
    const found = ids.length > MOST ? say("{count} found, the best {most} are shown.", { count: ids.length, most: MOST }) : say("{count} found.", { count: ids.length });
    at("told").textContent = ids.length ? found : say("Nothing found: try fewer or other words.");
  }

  at("find").hidden = false;
  at("words").addEventListener("focus", prepare, { once: true });
  for (const id of ["words", "machine", "part"]) at(id).addEventListener("input", find);
  at("find").addEventListener("submit", (event) => event.preventDefault());
  document.body.dataset.ready = "yes";
});
