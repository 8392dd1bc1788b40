// What a reading says about its limit: a side and a sentence, or what is wrong with what was typed.
"use strict";
const verdict = (() => {
  const SIGNED = /temperature|angle|level|run-out/;
  const SPACE = "\u202f";

  // `entries` are {text, unit} for each blank, `earlier` is {values, unit} of the step that a relation refers to (null:
  // none yet), `meter` what was measured with, {name, limit?}: a meter may bring a band of its own; `warmth` is the
  // temperature, for a limit that depends on it.
  function judge(reading, entries, earlier, meter, warmth) {
    const own = { ...reading, limit: { ...reading.limit, ...((meter && meter.limit) || {}) } };
    const read = entries.map((entry) => entered(own, entry));
    const instrument = (meter && meter.name) || reading.instrument;
    const fault = read.find((each) => each.fault);
    if (fault) return { fault: fault.fault };
    if (read.some((each) => each.empty)) return early(own, read, instrument);
    if (read.some((each) => each.over)) return over(own, read);
    const found = byForm(own, read, edgesOf(own.limit), earlier, instrument, warmth);
    return { ...found, values: read };
  }

  // Before all is read nothing is said, but that something is live: then nobody has to go on probing.
  function early(reading, read, instrument) {
    if (reading.limit.form !== "proof") return {};
    if (read.some((each) => each.over)) return over(reading, read);
    const found = proof(reading, read.filter((each) => !each.empty), edgesOf(reading.limit), instrument);
    return found.side === "inside" ? {} : { ...found, values: read };
  }

  // The number in the unit of the limit, with what was typed beside it.
  function entered(reading, entry) {
    const found = numbers.parse(entry.text);
    if (found.n === undefined) return found;
    const unit = reading.units.find(([symbol]) => symbol === entry.unit) || [reading.unit, "1", "0"];
    const moved = numbers.plus(numbers.times(found, numbers.known(unit[1])), numbers.known(unit[2]));
    return { ...moved, said: `${numbers.text(found)}${SPACE}${unit[0]}`.trim() };
  }

  const known = (value) => (value ? numbers.known(value.value) : null);

  function edgesOf(limit) {
    const grey = (limit.grey || []).map(({ low, high }) => [known(low), known(high)]);
    return { low: known(limit.low), high: known(limit.high), least: known(limit.accept_low), most: known(limit.accept_high), grey };
  }

  function byForm(reading, read, edges, earlier, instrument, warmth) {
    const { limit } = reading;
    if (limit.form === "proof") return proof(reading, read, edges, instrument);
    if (["spread", "steady"].includes(limit.form)) return spread(reading, read, edges);
    if (limit.form === "falls-by") return fall(reading, read, edges);
    if (["within", "drop", "share"].includes(limit.form)) return relation(reading, read, edges, earlier);
    if (limit.form === "open") return side("outside", say("A path where none must be"));
    if (limit.form === "by-temperature") return byWarmth(reading, read, instrument, warmth);
    if (!edges.low && !edges.high) return apart(reading);
    return band(reading, read, edges, instrument);
  }

  // Which side of a limit a number lies on; surely good counts first, then what the meter can't tell.
  function sideOf(edges, number) {
    const { low, high, least, most, grey } = edges;
    const from = (a, b) => numbers.compare(a, b) >= 0;
    const decided = least || most;
    if (decided && (!least || from(number, least)) && (!most || from(most, number))) return "inside";
    if (grey.some(([start, end]) => from(number, start) && from(end, number))) return "too_close";
    if (low && !from(number, low)) return "below";
    if (high && !from(high, number)) return "above";
    return decided ? "too_close" : "inside";
  }

  // The limit at a temperature, on straight lines between its rows; outside of them there is none.
  function byWarmth(reading, read, instrument, warmth) {
    const { rows } = reading.limit;
    if (!rows || !rows.length) return apart(reading);
    const at = numbers.parse(warmth || "");
    if (at.fault) return { fault: at.fault };
    if (at.n === undefined) return {};
    const place = rows.findIndex((row, index) => index && numbers.compare(at, known(row.at)) <= 0);
    if (place < 1 || numbers.compare(at, known(rows[0].at)) < 0) {
      return { fault: say("{value} lies outside of {low} to {high}: stop and ask.", { value: `${numbers.text(at)}${SPACE}${rows[0].at.unit}`, low: rows[0].at.printed, high: rows[rows.length - 1].at.printed }) };
    }
    const [before, after] = [rows[place - 1], rows[place]];
    const share = numbers.over(numbers.minus(at, known(before.at)), numbers.minus(known(after.at), known(before.at)));
    const line = (name) => {
      if (!before[name] || !after[name]) return null;
      const [a, b] = [known(before[name]), known(after[name])];
      const value = numbers.plus(a, numbers.times(numbers.minus(b, a), share));
      return { value: `${value.n}/${value.d}`, printed: `${numbers.text(value)}${SPACE}${before[name].unit}` };
    };
    const limit = { ...reading.limit, low: line("low"), high: line("high"), accept_low: line("accept_low"), accept_high: line("accept_high"), grey: [] };
    return band({ ...reading, limit }, read, edgesOf(limit), instrument);
  }

  const apart = (reading) => ({ unknown: say("Compare with the limit yourself: {limit}.", { limit: reading.limit.sentence }) });

  function over(reading, read) {
    const { limit } = reading;
    const values = read;
    // Beyond the range of the meter is anything but gone.
    if (limit.form === "proof") return { ...side("not-zero", say("{value} is not zero: it must be {limit}", { value: "OL", limit: limit.sentence })), values };
    if (limit.form === "open") return { ...side("inside", say("OL is open: good")), values };
    if (limit.form === "band" && limit.high) return { ...side("above", say("OL is above the limit")), values };
    if (limit.form === "band" && limit.low) return { ...side("inside", say("OL is above the least: good")), values };
    return { fault: say("OL can't be compared with this limit: choose another range, or stop and ask.") };
  }

  // What a meter may still show of zero ends its guard band below the limit of the proof.
  function proof(reading, read, { most, high }, instrument) {
    const live = read.find((each) => (most ? numbers.compare(numbers.size(each), most) > 0 : numbers.compare(numbers.size(each), high) >= 0));
    const must = most ? say("at most {high}", { high: reading.limit.accept_high.printed }) : reading.limit.sentence;
    const by = most && instrument ? ` ${say("with {meter}", { meter: instrument })}` : "";
    if (live) return side("not-zero", say("{value} is not zero: it must be {limit}", { value: live.said, limit: `${must}${by}` }));
    return side("inside", say("Zero: every reading is {limit}", { limit: `${must}${by}` }));
  }

  function band(reading, read, edges, instrument) {
    const { limit } = reading;
    const all = kept(reading, read);
    const turned = (edges.low || edges.high).n >= 0n && !SIGNED.test(reading.measure) && all.find((each) => each.n < 0n);
    if (turned) {
      const value = named(reading, read, turned);
      const leads = /voltage|current/.test(reading.measure);
      return side("reversed", leads ? say("{value} is below zero: are the leads the wrong way round?", { value }) : say("{value} is below zero: read again.", { value }));
    }
    const found = (name) => all.find((each) => sideOf(edges, each) === name);
    const below = found("below");
    if (below) return side("below", say("{value} is below {limit}", { value: named(reading, read, below), limit: limit.low.printed }));
    const above = found("above");
    if (above) return side("above", say("{value} is above {limit}", { value: named(reading, read, above), limit: limit.high.printed }));
    const close = found("too_close");
    if (close) {
      const lower = edges.low && (!edges.high || numbers.compare(numbers.minus(close, edges.low), numbers.minus(edges.high, close)) < 0);
      const mark = (lower ? limit.low : limit.high).printed;
      return side("too_close", say("{value} is too close to {limit} for {meter} to tell", { value: named(reading, read, close), limit: mark, meter: instrument || say("this meter") }));
    }
    const values = all.map((each) => each.said).join(", ");
    return side("inside", instrument ? say("{value}: good with {meter}", { value: values, meter: instrument }) : say("{value}: good", { value: values }));
  }

  function spread(reading, read, edges) {
    if (!edges.high || read.length < 2) return apart(reading);
    const order = [...read].sort(numbers.compare);
    return held(reading, numbers.minus(order[order.length - 1], order[0]), edges, (value) => say("{value} apart", { value }));
  }

  function fall(reading, read, edges) {
    if (!edges.high || read.length < 2) return apart(reading);
    return held(reading, numbers.minus(read[0], read[read.length - 1]), edges, (value) => say("{value} fallen", { value }));
  }

  function relation(reading, read, edges, earlier) {
    const { limit } = reading;
    const first = earlier && earlier.values && earlier.values[0];
    if (!first || first.n === undefined) return { fault: say("There is no reading of step {number} to compare with.", { number: limit.of }) };
    if (!edges.low && !edges.high) return apart(reading);
    const now = kept(reading, read)[0];
    const base = moved(reading, first, earlier.unit);
    if (limit.form === "drop") return held(reading, numbers.minus(base, now), edges, (value) => say("{value} below step {number}", { value, number: limit.of }));
    if (limit.form === "within") return held(reading, numbers.size(numbers.minus(now, base)), edges, (value) => say("{value} from step {number}", { value, number: limit.of }));
    if (base.n === 0n) return { fault: say("The reading of step {number} is zero: there is no share of it.", { number: limit.of }) };
    const part = numbers.times(numbers.over(now, base), { n: 100n, d: 1n });
    const found = sideOf(inPercent(edges, limit), part);
    const said = say("{value} is {share} of step {number}", { value: now.said, share: `${numbers.text(numbers.rounded(part))}${SPACE}%`, number: limit.of });
    if (found === "inside") return side("inside", say("{value}: good", { value: said }));
    if (found === "too_close") return side("too_close", say("{value}: too close to tell", { value: said }));
    return side(found, found === "below" ? say("{value}: too small a share", { value: said }) : say("{value}: too large a share", { value: said }));
  }

  // Shares stand in per cent, or as plain numbers.
  function inPercent(edges, limit) {
    if ((limit.low || limit.high).unit === "%") return edges;
    const up = (edge) => edge && numbers.times(edge, { n: 100n, d: 1n });
    return { low: up(edges.low), high: up(edges.high), least: up(edges.least), most: up(edges.most), grey: edges.grey.map((pair) => pair.map(up)) };
  }

  // A number in another reading's unit, in the unit of this one.
  function moved(reading, number, unit) {
    const found = reading.units.find(([symbol]) => symbol === unit);
    return found ? numbers.plus(numbers.times(number, numbers.known(found[1])), numbers.known(found[2])) : number;
  }

  function held(reading, difference, edges, words) {
    if (!edges.high) return apart(reading);
    const said = words(`${numbers.text(difference)}${SPACE}${reading.unit}`);
    const found = sideOf(edges, difference);
    if (found === "above") return side("above", say("{value}: more than allowed", { value: said }));
    if (found === "too_close") return side("too_close", say("{value}: too close to the limit to tell", { value: said }));
    return side("inside", say("{value}: good", { value: said }));
  }

  // Which of several readings count; where none is singled out each has to hold.
  function kept(reading, read) {
    if (read.length < 2 || !reading.repeat) return read;
    const order = [...read].sort(numbers.compare);
    if (reading.keep === "lowest") return [order[0]];
    if (reading.keep === "highest") return [order[order.length - 1]];
    if (reading.keep === "last") return [read[read.length - 1]];
    if (reading.keep === "mean") {
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
