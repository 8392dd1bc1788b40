// Time by the clock of the device, and what to make of it when that clock moves.
"use strict";
const clock = (() => {
  const SLIP = 5;
  let anchor = null;
  let hidden = false;
  document.addEventListener("visibilitychange", () => (hidden = hidden || document.hidden));

  const now = () => new Date().toISOString();
  const between = (from, to) => (Date.parse(to) - Date.parse(from)) / 1000;

  // Remember both clocks at once, so that later they can be held against each other.
  function touch() {
    anchor = { date: Date.now(), steady: performance.now() };
    hidden = document.hidden;
  }

  // Seconds since the last event by the clock that says more, and by how much the device's clock went back.
  function since(last) {
    if (!last) return { gap: 0, back: 0 };
    const byDate = (Date.now() - Date.parse(last)) / 1000;
    const bySteady = anchor ? (performance.now() - anchor.steady) / 1000 : 0;
    const shouldBe = anchor ? (Date.now() - anchor.date) / 1000 : byDate;
    const back = Math.max(-byDate, bySteady - shouldBe);
    return { gap: Math.max(byDate, bySteady), back: back > SLIP ? Math.round(back) : 0 };
  }

  // Whether the clock ran ahead while the page was in sight all the time: then it was moved, and no time has passed.
  function ranAhead() {
    if (!anchor || hidden) return 0;
    const ahead = (Date.now() - anchor.date - (performance.now() - anchor.steady)) / 1000;
    return ahead > SLIP ? Math.round(ahead) : 0;
  }

  const left = (from, seconds) => Math.max(0, Math.ceil(seconds - (Date.now() - Date.parse(from)) / 1000));
  const spell = (seconds) =>
    seconds < 120 ? `${seconds} s` : `${Math.floor(seconds / 60)} min ${String(seconds % 60).padStart(2, "0")} s`;
  const hour = (at) => new Date(at).toLocaleTimeString("en-GB", { hour12: false });
  const today = () => new Date().toLocaleDateString("sv-SE");
  const day = (at) => new Date(at).toLocaleString("sv-SE").slice(0, 16);

  // A tone and a buzz, where the device has them; neither moves the work on.
  function ring() {
    if (navigator.vibrate) navigator.vibrate([300, 150, 300, 150, 600]);
    const Sound = globalThis.AudioContext;
    if (!Sound) return;
    const sound = new Sound();
    for (const turn of [0, 0.5, 1]) {
      const tone = sound.createOscillator();
      tone.frequency.value = 880;
      tone.connect(sound.destination);
      tone.start(sound.currentTime + turn);
      tone.stop(sound.currentTime + turn + 0.3);
    }
  }

  return Object.freeze({ now, between, touch, since, ranAhead, left, spell, hour, today, day, ring });
})();
