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
  };

  function make(card) {
    const place = new Map(card.steps.map((step, index) => [step.number, index]));
    const step = (number) => card.steps[place.get(number)];
    const following = (number) => card.steps[place.get(number) + 1];

    // Index of the way that the verdict takes; -1 where none is written.
    function wayFor(number, side) {
      const { ways } = step(number);
      for (const name of SIDES[side] || []) {
        const index = ways.findIndex((way) => way.side === name);
        if (index >= 0) return index;
      }
      return -1;
    }

    // Where a way leads: {step}, {finding} or {stop}.
    function target(number, index) {
      const way = step(number).ways[index];
      if (way && way.kind === "step") return { step: way.number };
      if (way && way.kind === "outcome") return { finding: way.number };
      if (way && way.kind === "stop") return { stop: true };
      const next = following(number);
      return next ? { step: next.number } : { stop: true };
    }

    const back = (number, to) => to.step !== undefined && place.get(to.step) <= place.get(number);
    const between = (first, last) => card.steps.slice(place.get(first), place.get(last) + 1).map((each) => each.number);
    return Object.freeze({ step, wayFor, target, back, between, first: () => card.steps[0].number });
  }

  return Object.freeze({ make });
})();
