/**
 * How often, as prescriptions put it, in times a week: "b.i.d." is twice a day. Read with or without full stops.
 * Source: the usual abbreviations of prescriptions, from memory; ISMP's list of error-prone abbreviations
 * advises against writing several of them, so they are read here and never said.
 */
export const latin: Record<string, number> = {};

const timesADay: Record<string, number> = {
  qd: 1,
  od: 1,
  qhs: 1,
  nocte: 1,
  bid: 2,
  bd: 2,
  bds: 2,
  tid: 3,
  tds: 3,
  qid: 4,
  qds: 4,
  qod: 0.5,
};
const timesAWeek: Record<string, number> = { qiw: 4, tiw: 3, biw: 2 };

for (const [name, times] of Object.entries(timesADay)) latin[name] = times * 7;
for (const [name, times] of Object.entries(timesAWeek)) latin[name] = times;
for (const name of Object.keys(latin)) if (name.length <= 3) latin[[...name].join(' ')] = latin[name]!;
