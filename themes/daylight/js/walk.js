// The way through the card: which step stands next, and where answers and readings lead. Knows no page.
"use strict";
const walk = (() => {
  // Sides of the ways that a verdict may take, best first.
  const SIDES = {
    inside: ["inside", "next", "then"],
    below: ["below", "outside"],
    above: ["above", "outside"],
    outside: ["outside", "above", "below"],
    "not-zero": ["not-zero", "above", "outside"],
    reversed: ["reversed"],
    too_close: ["too_close"],
  };
  // Sides that a reading can't show by its number: the technician says them.
  const SEEN = ["unsteady", "cant_reach"];

  function make(card) {
    const place = new Map(card.steps.map((step, index) => [step.number, index]));
    const step = (number) => card.steps[place.get(number)];
    const finding = (number) => card.findings.find((each) => each.number === number);

    // The index of the way that the verdict takes; -1 where none is written: stop and ask.
    function wayFor(number, side) {
      const { ways } = step(number);
      for (const name of SIDES[side] || []) {
        const index = ways.findIndex((way) => way.side === name);
        if (index >= 0) return index;
      }
      return -1;
    }

    // Ways among which a person chooses: all but those that only a number decides.
    function open(number) {
      const { ways, reading } = step(number);
      const all = ways.map((way, index) => ({ ...way, index }));
      return reading ? all.filter((way) => SEEN.includes(way.side) && way.label) : all.filter((way) => way.label);
    }

    // Where a way leads, in words.
    function words(way) {
      if (!way || way.kind === "stop") return say("stop and ask");
      if (way.kind === "finding") return say("finding {number}, {title}", finding(way.number));
      return way.kind === "end" ? say("the end") : say("step {number}", way);
    }

    // What the card calls something that is locked, opened or put in place.
    const called = (key) => card.names[key] || key;

    return Object.freeze({ step, finding, wayFor, open, words, called, first: () => card.steps[0].number, count: card.steps.length });
  }

  return Object.freeze({ make });
})();
