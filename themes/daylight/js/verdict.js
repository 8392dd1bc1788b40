// What a reading says about its limit: a side and a sentence, or what is wrong with what was typed.
"use strict";
const verdict = (() => {
  const SIGNED = /temperature|angle|level|run-out/;

  // `reading` is the card's; `typed` what stands in its blanks; `earlier` the typed blanks of the step it refers to.
  function judge(reading, typed, earlier) {
    const entered = typed.map(numbers.parse);
    const fault = entered.find((each) => each.fault);
    if (fault) return { fault: fault.fault };
    if (entered.some((each) => each.empty)) return {};
    if (entered.some((each) => each.over)) return over(reading);
    const { limit } = reading;
    const low = limit.low && numbers.known(limit.low.value);
    const high = limit.high && numbers.known(limit.high.value);
    if (limit.form === "proof") return proof(reading, entered, high);
    if (["spread", "steady"].includes(limit.form)) return spread(reading, entered, high);
    if (limit.form === "falls-by") return fall(reading, entered, high);
    if (["within", "drop", "share"].includes(limit.form)) return relation(reading, entered, low, high, earlier);
    if (limit.form === "open") return side(reading, "outside", "a path where none must be");
    if (!low && !high) return { note: `Compare with the limit yourself: ${limit.sentence}.` };
    return band(reading, entered, low, high);
  }

  function over(reading) {
    if (reading.limit.form === "open") return side(reading, "inside", "OL is open");
    if (reading.limit.form === "band" && reading.limit.high) return side(reading, "above", "OL is above the limit");
    if (reading.limit.form === "band" && reading.limit.low) return side(reading, "inside", "OL is above the least");
    return { fault: "OL can't be compared with this limit: choose another range, or stop and ask." };
  }

  function proof(reading, entered, high) {
    const live = entered.find((each) => numbers.compare(numbers.size(each), high) >= 0);
    if (live) return side(reading, "not-zero", `${show(reading, live)} is not zero: it must be ${reading.limit.sentence}`);
    return side(reading, "inside", `zero: every reading is ${reading.limit.sentence}`);
  }

  function band(reading, entered, low, high) {
    const { limit } = reading;
    const all = kept(reading, entered);
    const floor = low || high;
    if (floor.units >= 0n && !SIGNED.test(reading.measure)) {
      const turned = all.find((each) => each.units < 0n);
      if (turned) return side(reading, "reversed", `${show(reading, turned)} is below zero: are the leads the wrong way round?`);
    }
    const below = low && all.find((each) => numbers.compare(each, low) < 0);
    if (below) return side(reading, "below", `${show(reading, below)} is below ${limit.low.printed}`);
    const above = high && all.find((each) => numbers.compare(each, high) > 0);
    if (above) return side(reading, "above", `${show(reading, above)} is above ${limit.high.printed}`);
    return side(reading, "inside", `${all.map((each) => show(reading, each)).join(", ")} is within ${limit.sentence}`);
  }

  function spread(reading, entered, most) {
    if (!most || entered.length < 2) return { note: `Compare with the limit yourself: ${reading.limit.sentence}.` };
    const order = [...entered].sort(numbers.compare);
    return held(reading, numbers.minus(order[order.length - 1], order[0]), most, "apart");
  }

  function fall(reading, entered, most) {
    if (!most || entered.length < 2) return { note: `Compare with the limit yourself: ${reading.limit.sentence}.` };
    return held(reading, numbers.minus(entered[0], entered[entered.length - 1]), most, "fallen");
  }

  function relation(reading, entered, low, high, earlier) {
    const { limit } = reading;
    const first = (earlier || []).map(numbers.parse);
    if (!first.length || first.some((each) => each.units === undefined)) {
      return { note: `Fill in the reading of step ${limit.of} first.` };
    }
    if (!low && !high) return { note: `Compare with the limit yourself: ${limit.sentence}.` };
    const now = kept(reading, entered)[0];
    const base = first[0];
    if (limit.form === "drop") return held(reading, numbers.minus(base, now), high, `below step ${limit.of}`);
    if (limit.form === "within") return held(reading, numbers.size(numbers.minus(now, base)), high, `from step ${limit.of}`);
    return share(reading, now, base, low, high);
  }

  function share(reading, now, base, low, high) {
    const { limit } = reading;
    const part = (edge) => numbers.times(base, edge);
    const whole = numbers.times(now, { units: 100n, places: 0 });
    if (low && numbers.compare(whole, part(low)) < 0) return side(reading, "below", `${show(reading, now)} is too small a share`);
    if (high && numbers.compare(whole, part(high)) > 0) return side(reading, "above", `${show(reading, now)} is too large a share`);
    return side(reading, "inside", `${show(reading, now)} is ${limit.sentence}`);
  }

  function held(reading, difference, most, words) {
    if (!most) return { note: `Compare with the limit yourself: ${reading.limit.sentence}.` };
    const said = `${show(reading, difference)} ${words}`;
    if (numbers.compare(difference, most) > 0) return side(reading, "above", `${said}: more than allowed`);
    return side(reading, "inside", `${said}: within the limit`);
  }

  // Which of several readings count.
  function kept(reading, entered) {
    if (entered.length < 2 || !reading.repeat) return entered;
    const order = [...entered].sort(numbers.compare);
    if (/lowest/.test(reading.repeat)) return [order[0]];
    if (/highest/.test(reading.repeat)) return [order[order.length - 1]];
    if (/median|middle/.test(reading.repeat)) return [order[Math.floor(order.length / 2)]];
    if (/last/.test(reading.repeat)) return [entered[entered.length - 1]];
    if (/mean|average/.test(reading.repeat)) return [numbers.mean(order)];
    return entered;
  }

  const show = (reading, value) => `${value.text || numbers.text(value)}\u202f${reading.unit}`;
  const side = (reading, name, sentence) => ({ side: name, sentence: sentence + (/[?]$/.test(sentence) ? "" : ".") });

  return Object.freeze({ judge });
})();
