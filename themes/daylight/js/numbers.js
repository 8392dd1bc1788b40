// Decimal numbers as people write them: exact, with comma or point, never guessed at.
"use strict";
const numbers = (() => {
  const PLAIN = /^([+-]?)(\d*)(?:[.,](\d*))?$/;
  const OVER = /^(ol|o\.l\.?|0l|over|open|∞)$/i;

  // {units, places} stands for units / 10^places. A fault is a sentence.
  function parse(text) {
    const tidy = text.trim().replace(/[−–]/g, "-").replace(/(\d)[\s\u00a0\u2009\u202f](?=\d{3}(\D|$))/g, "$1");
    if (tidy === "") return { empty: true };
    if (OVER.test(tidy)) return { over: true, text: "OL" };
    const found = PLAIN.exec(tidy);
    if (!found || !(found[2] || found[3])) return { fault: `“${text.trim()}” is no number: write it like 50.4 or 50,4.` };
    const [, sign, whole, part = ""] = found;
    if (tidy.includes(",") && part.length === 3 && /^[1-9]\d{0,2}$/.test(whole)) {
      return { fault: `“${text.trim()}” can mean ${whole}.${part} or ${whole}${part}: write one of these.` };
    }
    const units = BigInt(`${sign === "-" ? "-" : ""}${whole}${part}` || "0");
    return { units, places: part.length, text: `${sign === "-" ? "−" : ""}${whole || "0"}${part ? "." + part : ""}` };
  }

  // A limit's decimal text from the card, such as "50.2" or "1.5E+3".
  function known(text) {
    const [mantissa, power] = text.toLowerCase().split("e");
    const [whole, part = ""] = mantissa.split(".");
    const shift = part.length - Number(power || 0);
    const units = BigInt(whole + part);
    return shift >= 0 ? { units, places: shift } : { units: units * 10n ** BigInt(-shift), places: 0 };
  }

  function level(a, b) {
    const places = Math.max(a.places, b.places);
    return [a.units * 10n ** BigInt(places - a.places), b.units * 10n ** BigInt(places - b.places), places];
  }

  function compare(a, b) {
    const [x, y] = level(a, b);
    return x < y ? -1 : x > y ? 1 : 0;
  }

  function minus(a, b) {
    const [x, y, places] = level(a, b);
    return { units: x - y, places };
  }

  const times = (a, b) => ({ units: a.units * b.units, places: a.places + b.places });
  const size = (a) => ({ units: a.units < 0n ? -a.units : a.units, places: a.places });

  function text(a) {
    const digits = size(a).units.toString().padStart(a.places + 1, "0");
    const cut = digits.length - a.places;
    return (a.units < 0n ? "−" : "") + digits.slice(0, cut) + (a.places ? "." + digits.slice(cut) : "");
  }

  function mean(list) {
    const places = Math.max(...list.map((each) => each.places)) + 3;
    const sum = list.reduce((total, each) => total + each.units * 10n ** BigInt(places - each.places), 0n);
    return { units: sum / BigInt(list.length), places };
  }

  return Object.freeze({ parse, known, compare, minus, times, size, text, mean });
})();
