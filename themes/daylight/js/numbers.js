// Numbers as people write them and as limits have them: exact fractions, with comma or point, never guessed at.
"use strict";
const numbers = (() => {
  const PLAIN = /^([+-]?)(\d*)(?:[.,](\d*))?$/;
  const OVER = /^(ol|o\.l\.?|0l|over|open|∞)$/i;
  const LONGEST = 24;

  // {n, d, text}: the value is n / d, d above zero. A fault is a sentence.
  function parse(written) {
    const tidy = written.trim().replace(/[−–]/g, "-").replace(/(\d)[\s\u00a0\u2009\u202f](?=\d{3}(\D|$))/g, "$1");
    if (tidy === "") return { empty: true };
    if (OVER.test(tidy)) return { over: true, text: "OL" };
    const found = tidy.length > LONGEST ? null : PLAIN.exec(tidy);
    if (!found || !(found[2] || found[3])) return { fault: say("“{typed}” is no number: write it like 50.4 or 50,4.", { typed: shown(written) }) };
    const [, sign, whole, part = ""] = found;
    if (tidy.includes(",") && part.length === 3 && /^[1-9]\d{0,2}$/.test(whole)) {
      return { fault: say("“{typed}” can mean {small} or {large}: write one of these.", { typed: shown(written), small: `${whole}.${part}`, large: `${whole}${part}` }) };
    }
    const n = BigInt(`${whole}${part}` || "0") * (sign === "-" ? -1n : 1n);
    return { n, d: 10n ** BigInt(part.length), text: `${sign === "-" ? "−" : ""}${whole || "0"}${part ? "." + part : ""}` };
  }

  const shown = (written) => (written.trim().length > LONGEST ? `${written.trim().slice(0, LONGEST)}…` : written.trim());

  // Text of the card: a decimal such as "50.2" or "1.5E+3", or a fraction such as "9/5".
  function known(written) {
    if (written.includes("/")) {
      const [n, d] = written.split("/").map(BigInt);
      return { n, d };
    }
    const [mantissa, power] = written.toLowerCase().split("e");
    const [whole, part = ""] = mantissa.split(".");
    const shift = part.length - Number(power || 0);
    const n = BigInt(whole + part);
    return shift >= 0 ? { n, d: 10n ** BigInt(shift) } : { n: n * 10n ** BigInt(-shift), d: 1n };
  }

  const compare = (a, b) => (a.n * b.d < b.n * a.d ? -1 : a.n * b.d > b.n * a.d ? 1 : 0);
  const plus = (a, b) => ({ n: a.n * b.d + b.n * a.d, d: a.d * b.d });
  const minus = (a, b) => plus(a, { n: -b.n, d: b.d });
  const times = (a, b) => ({ n: a.n * b.n, d: a.d * b.d });
  const over = (a, b) => times(a, b.n < 0n ? { n: -b.d, d: -b.n } : { n: b.d, d: b.n });
  const rounded = (a) => ({ n: (a.n * 10n + (a.n < 0n ? -a.d : a.d) / 2n) / a.d, d: 10n });
  const size = (a) => (a.n < 0n ? { ...a, n: -a.n } : a);
  const mean = (list) => times(list.reduce(plus), { n: 1n, d: BigInt(list.length) });

  // As a decimal: all its digits where they end within twelve places, else rounded there.
  function exact(a) {
    if (a.text) return a.text;
    const whole = size(a);
    const scaled = (whole.n * 10n ** 13n) / whole.d;
    const digits = ((scaled + 5n) / 10n).toString().padStart(13, "0");
    const part = digits.slice(-12).replace(/0+$/, "");
    return `${a.n < 0n ? "−" : ""}${digits.slice(0, -12)}${part ? "." + part : ""}`;
  }

  // For people: with the decimal mark of the page.
  const text = (a) => exact(a).replace(".", say.mark());
  // For machines: with a point and a plain minus sign.
  const plain = (a) => exact({ n: a.n, d: a.d }).replace("−", "-");

  return Object.freeze({ parse, known, compare, plus, minus, times, over, rounded, size, mean, text, plain });
})();
