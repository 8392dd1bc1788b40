// What a reading says about its limit: a side and a sentence, or what is wrong with what was typed.
"use strict";
const verdict = (() => {
  const SIGNED = /temperature|angle|level|run-out/;
  const SPACE = "\u202f";

  // `entries` are {text, unit} for each blank, `earlier` those of the step that a relation refers to (null: none yet),
  // `meter` what was measured with, {name, limit?}: a meter may bring a band of its own.
  function judge(reading, entries, earlier, meter) {
    const own = { ...reading, limit: { ...reading.limit, ...((meter && meter.limit) || {}) } };
    const read = entries.map((entry) => entered(own, entry));
    const fault = read.find((each) => each.fault);
    if (fault) return { fault: fault.fault };
    if (read.some((each) => each.empty)) return {};
    if (read.some((each) => each.over)) return over(own, read);
    const edge = (name) => (own.limit[name] ? numbers.known(own.limit[name].value) : null);
    const found = byForm(own, read, edge, earlier, (meter && meter.name) || reading.instrument);
    return { ...found, values: read };
  }

  // The number in the unit of the limit, with what was typed beside it.
  function entered(reading, entry) {
    const found = numbers.parse(entry.text);
    if (found.n === undefined) return found;
    const unit = reading.units.find(([symbol]) => symbol === entry.unit) || [reading.unit, "1", "0"];
    const moved = numbers.plus(numbers.times(found, numbers.known(unit[1])), numbers.known(unit[2]));
    return { ...moved, said: `${found.text}${SPACE}${unit[0]}`.trim() };
  }

  function byForm(reading, read, edge, earlier, instrument) {
    const { limit } = reading;
    const [low, high] = [edge("low"), edge("high")];
    if (limit.form === "proof") return proof(reading, read, high);
    if (["spread", "steady"].includes(limit.form)) return spread(reading, read, high);
    if (limit.form === "falls-by") return fall(reading, read, high);
    if (["within", "drop", "share"].includes(limit.form)) return relation(reading, read, low, high, earlier);
    if (limit.form === "open") return side("outside", "A path where none must be");
    if (!low && !high) return apart(reading);
    return band(reading, read, { low, high, least: edge("accept_low"), most: edge("accept_high") }, instrument);
  }

  const apart = (reading) => ({ unknown: `Compare with the limit yourself: ${reading.limit.sentence}.` });

  function over(reading, read) {
    const { limit } = reading;
    const values = read;
    if (limit.form === "open") return { ...side("inside", "OL is open: good"), values };
    if (limit.form === "band" && limit.high) return { ...side("above", "OL is above the limit"), values };
    if (limit.form === "band" && limit.low) return { ...side("inside", "OL is above the least: good"), values };
    return { fault: "OL can't be compared with this limit: choose another range, or stop and ask." };
  }

  function proof(reading, read, high) {
    const live = read.find((each) => numbers.compare(numbers.size(each), high) >= 0);
    if (live) return side("not-zero", `${live.said} is not zero: it must be ${reading.limit.sentence}`);
    return side("inside", `Zero: every reading is ${reading.limit.sentence}`);
  }

  function band(reading, read, edges, instrument) {
    const { limit } = reading;
    const all = kept(reading, read);
    const turned = (edges.low || edges.high).n >= 0n && !SIGNED.test(reading.measure) && all.find((each) => each.n < 0n);
    if (turned) return side("reversed", `${named(reading, read, turned)} is below zero: are the leads the wrong way round?`);
    const less = (mark) => mark && all.find((each) => numbers.compare(each, mark) < 0);
    const more = (mark) => mark && all.find((each) => numbers.compare(each, mark) > 0);
    const below = less(edges.low);
    if (below) return side("below", `${named(reading, read, below)} is below ${limit.low.printed}`);
    const above = more(edges.high);
    if (above) return side("above", `${named(reading, read, above)} is above ${limit.high.printed}`);
    const close = less(edges.least) || more(edges.most);
    if (close) {
      const mark = less(edges.least) ? limit.low : limit.high;
      return side("too_close", `${named(reading, read, close)} is too close to ${mark.printed} for ${instrument || "this meter"} to tell`);
    }
    const values = all.map((each) => each.said).join(", ");
    return side("inside", `${values}: good${instrument ? ` with ${instrument}` : ""}`);
  }

  function spread(reading, read, most) {
    if (!most || read.length < 2) return apart(reading);
    const order = [...read].sort(numbers.compare);
    return held(reading, numbers.minus(order[order.length - 1], order[0]), most, "apart");
  }

  function fall(reading, read, most) {
    if (!most || read.length < 2) return apart(reading);
    return held(reading, numbers.minus(read[0], read[read.length - 1]), most, "fallen");
  }

  function relation(reading, read, low, high, earlier) {
    const { limit } = reading;
    const first = earlier && earlier.values && earlier.values[0];
    if (!first || first.n === undefined) return { fault: `There is no reading of step ${limit.of} to compare with.` };
    if (!low && !high) return apart(reading);
    const now = kept(reading, read)[0];
    if (limit.form === "drop") return held(reading, numbers.minus(first, now), high, `below step ${limit.of}`);
    if (limit.form === "within") {
      return held(reading, numbers.size(numbers.minus(now, first)), high, `from step ${limit.of}`);
    }
    if (low && numbers.compare(now, share(first, limit.low)) < 0) return side("below", `${now.said} is too small a share`);
    if (high && numbers.compare(now, share(first, limit.high)) > 0) return side("above", `${now.said} is too large a share`);
    return side("inside", `${now.said}: ${limit.sentence}, good`);
  }

  function share(first, edge) {
    const part = numbers.times(first, numbers.known(edge.value));
    return edge.unit === "%" ? numbers.times(part, { n: 1n, d: 100n }) : part;
  }

  function held(reading, difference, most, words) {
    if (!most) return apart(reading);
    const said = `${numbers.text(difference)}${SPACE}${reading.unit} ${words}`;
    if (numbers.compare(difference, most) > 0) return side("above", `${said}: more than allowed`);
    return side("inside", `${said}: good`);
  }

  // Which of several readings count; where none is singled out each has to hold.
  function kept(reading, read) {
    if (read.length < 2 || !reading.repeat) return read;
    const order = [...read].sort(numbers.compare);
    if (/lowest/.test(reading.repeat)) return [order[0]];
    if (/highest/.test(reading.repeat)) return [order[order.length - 1]];
    if (/median|middle/.test(reading.repeat)) return [order[Math.floor(order.length / 2)]];
    if (/last/.test(reading.repeat)) return [read[read.length - 1]];
    if (/mean|average/.test(reading.repeat)) {
      const mean = numbers.mean(read);
      return [{ ...mean, said: `${numbers.text(mean)}${SPACE}${reading.unit}` }];
    }
    return read;
  }

  // Which of several blanks it is that is out.
  function named(reading, read, one) {
    const place = read.indexOf(one);
    return read.length > 1 && place >= 0 && !reading.repeat ? `${reading.labels[place]}: ${one.said}` : one.said;
  }

  const side = (name, sentence) => ({ side: name, sentence: sentence + (/[?]$/.test(sentence) ? "" : ".") });

  return Object.freeze({ judge });
})();
