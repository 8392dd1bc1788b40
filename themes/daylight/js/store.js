// Keeps the filled state on this device, in two places, and says when it last did.
"use strict";
const store = (() => {
  let database = null;
  let key = "";

  function open(name) {
    key = name;
    return new Promise((done) => {
      let request;
      try {
        request = indexedDB.open("benchleaf", 1);
      } catch {
        return done();
      }
      request.onupgradeneeded = () => request.result.createObjectStore("jobs");
      request.onsuccess = () => {
        database = request.result;
        database.onversionchange = () => database.close();
        done();
      };
      request.onerror = request.onblocked = () => done();
    });
  }

  async function load() {
    const found = [local(), await kept()].filter(Boolean);
    return found.sort((a, b) => b.turn - a.turn)[0] || null;
  }

  function local() {
    try {
      return JSON.parse(localStorage.getItem(key));
    } catch {
      return null;
    }
  }

  function kept() {
    return new Promise((done) => {
      if (!database) return done(null);
      const request = database.transaction("jobs").objectStore("jobs").get(key);
      request.onsuccess = () => done(request.result || null);
      request.onerror = () => done(null);
    });
  }

  // Resolves to the number of places that hold the state now: 0 means that nothing is kept.
  async function save(state) {
    let places = 0;
    const text = JSON.stringify(state);
    try {
      localStorage.setItem(key, text);
      if (localStorage.getItem(key) === text) places += 1;
    } catch {
      places += 0;
    }
    return places + (await put(state));
  }

  function put(state) {
    return new Promise((done) => {
      if (!database) return done(0);
      const transaction = database.transaction("jobs", "readwrite", { durability: "strict" });
      transaction.objectStore("jobs").put(JSON.parse(JSON.stringify(state)), key);
      transaction.oncomplete = () => done(1);
      transaction.onerror = transaction.onabort = () => done(0);
    });
  }

  return Object.freeze({ open, load, save, key: () => key });
})();
