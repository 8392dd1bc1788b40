// The index found through: by words that may be mistyped, by machine, by part; the page itself stays as it is.
"use strict";
document.addEventListener("DOMContentLoaded", () => {
  const MOST = 40;
  const at = (id) => document.getElementById(id);
  const entries = JSON.parse(at("entries").textContent);
  const articles = [...document.querySelectorAll("article")];
  // Articles that stand above the list, each with the mark that keeps its place in it.
  let out = [];
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

  // The names to choose among; the choice stays as long as it is among them.
  function offer(id, names) {
    const chosen = at(id).value;
    const all = [...new Set(names)].sort((a, b) => a.localeCompare(b));
    const option = (name) => Object.assign(document.createElement("option"), { value: name, textContent: name });
    at(id).replaceChildren(at(id).options[0], ...all.map(option));
    at(id).value = all.includes(chosen) ? chosen : "";
  }

  // Of a chosen machine only its own parts.
  const ofMachine = (entry) => !at("machine").value || entry.machine === at("machine").value;
  const offerParts = () => offer("part", entries.filter(ofMachine).flatMap((entry) => entry.parts));

  const fits = (entry) => ofMachine(entry) && (!at("part").value || entry.parts.includes(at("part").value));

  async function find() {
    const mine = ++turn;
    const words = at("words").value.trim();
    const asked = words || at("machine").value || at("part").value;
    if (words) await prepare();
    if (mine !== turn) return;
    const chosen = (ids) => ids.filter((id) => fits(entries[id]));
    const by = (combineWith) => chosen(search.search(words, { combineWith }).map((found) => found.id));
    const all = words ? by("AND") : chosen(entries.map((_, id) => id));
    const near = !all.length && words.includes(" ") ? by("OR") : [];
    // A single letter is the beginning of a word, unless something is called so.
    const begun = words.length === 1 && !all.length;
    show(asked && !begun ? (all.length ? all : near) : null, Boolean(near.length));
  }

  // Found articles move to the top in the order of how well they fit; null puts all back to their places.
  function show(ids, near) {
    for (const [article, mark] of out) mark.replaceWith(article);
    out = (ids || []).slice(0, MOST).map((id) => [articles[id], document.createComment("")]);
    for (const [article, mark] of out) article.replaceWith(mark);
    at("found").replaceChildren(...out.map(([article]) => article));
    at("all").hidden = Boolean(ids);
    at("found").hidden = !ids;
    at("told").textContent = ids ? told(ids.length, near) : "";
  }

  function told(count, near) {
    if (!count) return say("Nothing found: try fewer or other words.");
    const found = count > MOST ? say("{count} found, the best {most} are shown.", { count, most: MOST }) : say("{count} found.", { count });
    return near ? `${say("Nothing has all these words: these come nearest.")} ${found}` : found;
  }

  offer("machine", entries.map((entry) => entry.machine));
  offerParts();
  at("machine").addEventListener("input", offerParts);
  at("find").hidden = false;
  at("words").addEventListener("focus", prepare, { once: true });
  for (const id of ["words", "machine", "part"]) at(id).addEventListener("input", find);
  at("find").addEventListener("submit", (event) => event.preventDefault());
  document.body.dataset.ready = "yes";
});
