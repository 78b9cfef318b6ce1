// Where a pour stands, from the plain numbers of its page: the same sums as the engine's, so that they can be done
// where no server is reached. No clock and no page in here. Levels in inches, volumes in cubic yards, times in minutes
// after the first concrete.

const DUST = 1e-9;
const TRUE_IN = 1; // truer than this fresh concrete neither lies nor is read
const ROUND_MIN = 20; // legs read within so long of each other are one round
const sum = (numbers) => numbers.reduce((all, one) => all + one, 0);

// -- a fill curve: knots of [level, yards below it], rising, straight in between ---------------------------------
export const volumeBelow = (knots, level) => {
  if (level <= knots[0][0]) return knots[0][1];
  for (let k = 1; k < knots.length; k += 1) {
    const [[a, v0], [b, v1]] = [knots[k - 1], knots[k]];
    if (level <= b) return v0 + ((v1 - v0) * (level - a)) / (b - a);
  }
  return knots.at(-1)[1];
};

export const levelReached = (knots, yards) => {
  if (yards <= knots[0][1]) return knots[0][0];
  for (let k = 1; k < knots.length; k += 1) {
    const [[a, v0], [b, v1]] = [knots[k - 1], knots[k]];
    if (yards <= v1) return a + ((b - a) * (yards - v0)) / (v1 - v0);
  }
  return knots.at(-1)[0];
};

export const placedYards = (loads, minute) =>
  sum(
    loads.map(({ start, end, yd3 }) =>
      minute >= end ? yd3 : minute > start ? (yd3 * (minute - start)) / (end - start) : 0,
    ),
  );

// Sums of floats may fall back by dust.
const rising = (knots) => {
  let highest = -Infinity;
  return knots.map(([level, yards]) => [level, (highest = Math.max(highest, yards))]);
};

// -- legs ----------------------------------------------------------------------------------------------------
const standing = (legs, levels) =>
  sum(legs.map((leg, k) => volumeBelow(leg.knots, levels[k]) - leg.knots[0][1]));

const whole = (legs) => {
  const levels = [...new Set(legs.flatMap((leg) => leg.knots.map(([level]) => level)))].sort((a, b) => a - b);
  return rising(levels.map((level) => [level, standing(legs, legs.map(() => level))]));
};

// All legs that are not full rise by the same height.
const raised = (legs, levels, yards) => {
  const steps = legs.flatMap((leg, k) => leg.knots.map(([level]) => level - levels[k])).filter((up) => up > DUST);
  if (yards <= DUST || !steps.length) return levels;
  const ups = [...new Set([0, ...steps])].sort((a, b) => a - b);
  const knots = rising(ups.map((up) => [up, standing(legs, levels.map((level) => level + up))]));
  const up = levelReached(knots, knots[0][1] + yards);
  return legs.map((leg, k) => Math.min(levels[k] + up, leg.knots.at(-1)[0]));
};

export const levelsAt = (legs, loads, readings, minute) => {
  const lowest = Math.min(...legs.map((leg) => leg.knots[0][0]));
  let levels = legs.map(() => lowest);
  let placed = 0;
  for (const reading of [...readings].sort((a, b) => a.minute - b.minute)) {
    const k = legs.findIndex((leg) => leg.leg === reading.leg);
    if (k < 0 || reading.minute > minute + DUST) continue;
    const until = placedYards(loads, reading.minute);
    levels = [...raised(legs, levels, until - placed)];
    levels[k] = reading.level;
    placed = until;
  }
  return raised(legs, levels, placedYards(loads, minute) - placed);
};

// The last moment at which a round of all legs was complete; null where there was none.
const lastRound = (legs, loads, readings) => {
  const own = readings.filter((r) => legs.some((leg) => leg.leg === r.leg)).sort((a, b) => a.minute - b.minute);
  for (const minute of [...new Set(own.map((r) => r.minute))].reverse()) {
    const last = new Map(own.filter((r) => r.minute <= minute + DUST).map((r) => [r.leg, r]));
    const isRead = (leg) => {
      const found = last.get(leg.leg);
      return found && (found.minute >= minute - ROUND_MIN - DUST || found.level >= leg.top_in - TRUE_IN);
    };
    if (legs.every(isRead)) {
      return { placed: placedYards(loads, minute), standing: standing(legs, levelsAt(legs, loads, own, minute)) };
    }
  }
  return null;
};

// -- the pour --------------------------------------------------------------------------------------------------
// data: as the page writes it. now: milliseconds. null before the first concrete.
export const pourAt = (data, now) => {
  const taken = data.loads.filter((load) => load.decision === "accepted" && load.started);
  if (!taken.length) return null;
  const begun = Math.min(...taken.map((load) => Date.parse(load.started)));
  const minutes = (at) => (Date.parse(at) - begun) / 60000;
  const minute = (now - begun) / 60000;
  const loads = taken.map((load) => {
    const start = minutes(load.started);
    const end = load.ended ? minutes(load.ended) : Math.max(start + (load.yd3 / data.pace_yd3_h) * 60, minute);
    return { start, end: Math.max(end, start + 1e-6), yd3: load.yd3 };
  });
  const placed = placedYards(loads, minute);
  if (!data.legs.length) return { placed, level: null, left: Math.max(data.yd3 - placed, 0), legs: [] };
  const readings = data.levels.flatMap(({ leg, down_in: down, taken: at }) => {
    const curve = data.legs.find((each) => each.leg === leg);
    return curve && minutes(at) <= minute + DUST ? [{ leg, minute: minutes(at), level: curve.top_in - down }] : [];
  });
  const curve = whole(data.legs);
  const round = lastRound(data.legs, loads, readings);
  const level = levelReached(curve, round ? round.standing + placed - round.placed : placed);
  return {
    placed,
    level,
    left: curve.at(-1)[1] - volumeBelow(curve, level),
    legs: levelsAt(data.legs, loads, readings, minute),
  };
};
