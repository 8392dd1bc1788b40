// Keeps a previewed page as its source is: asks for it anew when told, and moves only what has changed.
"use strict";
(() => {
  let version = "";
  let asking = false;
  let again = false;
  let turn = 0;

  async function refresh() {
    if (asking) return (again = true);
    asking = true;
    try {
      const answer = await fetch(location.pathname, { cache: "no-store" });
      put(new DOMParser().parseFromString(await answer.text(), "text/html"));
      lost(false);
    } catch {
      lost(true);
    }
    asking = false;
    if (again) {
      again = false;
      refresh();
    }
  }

  function put(fresh) {
    document.title = fresh.title;
    for (const place of ["h1", "#told"]) document.querySelector(place).replaceWith(fresh.querySelector(place));
    const here = [...document.querySelectorAll("iframe")];
    const there = [...fresh.querySelectorAll("iframe")];
    if (here.length !== there.length) return document.querySelector("#frames").replaceWith(fresh.querySelector("#frames"));
    const stale = here.map((frame, place) => [frame, there[place].getAttribute("src")]);
    follow(stale.filter(([frame, address]) => frame.getAttribute("src") !== address), ++turn);
  }

  // One document after the other, the card first; a newer change takes over from an older one.
  async function follow(stale, mine) {
    for (const [frame, address] of stale) {
      if (mine !== turn) return;
      await move(frame, address);
    }
  }

  // The reader stays where they were in the document.
  function move(frame, address) {
    const top = frame.contentWindow.scrollY;
    return new Promise((done) => {
      frame.addEventListener("load", () => (frame.contentWindow.scrollTo(0, top), done()), { once: true });
      frame.src = address;
    });
  }

  // A finding leads to its step in each document that has it.
  document.addEventListener("click", (event) => {
    const link = event.target.closest("a.at");
    if (!link) return;
    event.preventDefault();
    for (const frame of document.querySelectorAll("iframe")) frame.contentDocument.querySelector(link.hash)?.scrollIntoView({ block: "center" });
  });

  const lost = (yes) => (document.getElementById("lost").hidden = !yes);

  const news = new EventSource("/events");
  news.onmessage = (event) => {
    // The first news too: something may have changed since the page was made.
    if (event.data !== version) refresh();
    version = event.data;
    lost(false);
  };
  news.onerror = () => lost(true);
})();
