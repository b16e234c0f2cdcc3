import { fill } from '../../../../machines/script';
import type { FileSeen } from '../../../../src/app/desks/keeping';
import type { Room } from '../../../../src/app/desks/staffRoom';
import type { WardRead } from '../../../../src/app/desks/ward';
import { problemOf } from '../../../../src/fhir/problem';
import { derive, outcomes, type VisitRecord } from '../../../../src/records/derive';
import { missedIn, recheckOf } from '../../../../src/records/recheck';
import { freshRow } from '../../../../src/records/rows';
import type { SummaryRow } from '../../../../src/records/summary';
import type { OutboxRow, VisitHeader } from '../../../../src/records/types';
import { digestOf, type VisitDigest } from '../../../../src/records/ward/digest';
import { inventWard } from '../../../../src/records/ward/invent';
import { heard, longest, module, slots, start, steps, teaching } from './asked';

/* Made-up records, for the screens of staff. */

export const rows: SummaryRow[] = Object.entries(teaching.concepts).map(([concept, { label }], index) => ({
  concept,
  step: longest(steps.map(({ title }) => title)),
  label: fill(label, slots),
  weight: index % 2 ? 'critical' : 'key',
  outcome: outcomes[index % outcomes.length]!,
  review: [],
  answers: 1,
  retaught: 0,
  said: index % 3 ? heard : '',
  reason: 'All that is needed was said.',
  confidence: index % 3 ? 0.83 : null,
}));

/** Every second point was tried twice, there is a question, and help was called. */
export function record(): VisitRecord {
  const empty = derive([], { teaching, module });
  const at = '2026-03-05T09:40:00Z';
  const by = { name: 'R. Quillon, educator' };
  const tries = (['partial', 'understood'] as const).map((label, index) => ({
    seq: index + 1,
    attempt: index + 1,
    mode: 'voice' as const,
    engine: 'embedded' as const,
    heard,
    finding: {
      concept: '',
      label,
      confidence: 0.8,
      evidence: [{ start: 0, end: heard.indexOf(' ', 20) }],
      reason: 'All that is needed was said.',
    },
    words: [],
  }));
  return {
    ...empty,
    state: 'completed',
    ears: ['embedded'],
    voices: ['embedded'],
    concepts: empty.concepts.map((one, index) => ({
      ...one,
      ...(index % 2 ? { answers: tries } : {}),
      ...(index === 1
        ? { outcome: 'confirmed', decision: { decision: 'understood', reason: heard, by, at } }
        : {}),
    })),
    signOff: { signed: { by, at }, changedSince: true, amended: false, changedAt: at },
    questions: [
      { seq: 5, at, text: 'May I use it more often?', answer: null, staff: null },
      { seq: 7, at, text: 'Is it safe?', answer: null, staff: { by, at, answer: heard } },
      {
        seq: 6,
        at,
        text: 'How do I clean it?',
        staff: null,
        answer: longest(teaching.answers.flatMap(({ says }) => says)),
      },
    ],
    helpCalls: [{ at, by: 'distress', text: 'I cannot get my breath.' }],
  };
}
const at = '2026-03-05T09:30:00Z';
export const room = {
  people: async () => [
    { id: 'rue', name: 'R. Quillon', locked: false },
    { id: 'odo', name: 'O. Fennimore', locked: true },
  ],
  trail: async () => ({
    entries: [
      { seq: 0, at, who: 'rue', what: 'set-up', before: '', hash: '' },
      { seq: 1, at, who: '!', what: 'emergency-opened', detail: 'N. Ashby: drill', before: '', hash: '' },
    ],
    broken: 'entry 1 was changed',
  }),
} as unknown as Room;

/** A visit in which all was missed, at first or to the end. */
export const earlier = (): VisitRecord => ({
  ...record(),
  visit: '3f0c7a52-5a0e-4c57-9b1e-0d8f5f0a1c11',
  state: 'completed',
  endedAt: '2026-03-05T09:45:00Z',
  start: { ...start, readiness: 'hesitant' },
  steps: record().steps.map((step) => ({
    ...step,
    concepts: step.concepts.map((one, index) => ({
      ...one,
      outcome: index % 2 ? 'needs-person' : 'after-reteach',
    })),
  })),
});

/** Its re-check, in which the same came of all. */
export function again(): VisitRecord {
  const one = earlier();
  const { visit, bed, staff } = one.start!;
  const concepts = missedIn(one).map(({ concept }) => concept);
  return { ...one, start: recheckOf(one, module, { visit, bed, staff, readiness: 'hesitant', concepts }) };
}

/** The second visit of the list: it is for somebody to act. */
export const unfiled: OutboxRow = {
  ...freshRow('2'),
  state: 'held',
  problem: problemOf(422, 'POST bundle', null, null, 0).message,
};

export const filedNotes = [1, 2, 3].map((n) => ({
  ...{ id: `${n}`, visit: `${n}`, at: `2026-03-0${n}T09:30:00Z`, number: `A-19${n}` },
  patient: n === 2 ? 'Maria Conceição Albuquerque dos Santos' : n === 3 ? '' : 'Ines Marlow',
  ...{
    kiosk: 'harbor-4-bed-12',
    title: `Patient education by teach-back: ${teaching.title}`,
    language: 'fr',
  },
  ...{ docStatus: n === 1 ? 'final' : 'preliminary', status: n === 3 ? 'entered-in-error' : 'current' },
  text: rows.map(({ label, reason }) => `${label}: ${reason}`).join('\n'),
}));

/** A file that was looked at. */
export const backups = {
  save: async () => ({ file: new Blob(), visits: 0 }),
  look: async () =>
    ({
      checked: { head: { at }, file: { size: 118_000_000 } },
      sameWard: false,
      ids: ['rue', 'odo'],
      code: true,
    }) as unknown as FileSeen,
  restore: async () => ({ added: 0, longer: 0, same: 0, differ: 0, clips: 0 }),
};

/** With the words of a site in its labels. */
export const told = {
  ...teaching,
  concepts: Object.fromEntries(
    Object.entries(teaching.concepts).map(([id, one]) => [id, { ...one, label: fill(one.label, slots) }]),
  ),
};

/** A ward of 90 visits, of which some figures are too few to draw. */
export function wardRead(): WardRead {
  const now = new Date('2026-03-05T12:00:00Z');
  const logs = inventWard({
    visits: 90,
    seed: 3,
    now,
    texts: [{ module, teaching }],
    particulars: slots as never,
  });
  const visits = [...logs].map((log) => {
    const header = { visit: log[0]!.visit, next: log.length, startedAt: log[0]!.at } as VisitHeader;
    return digestOf(header, derive(log, { module, teaching })) as VisitDigest;
  });
  return { visits, invented: false, left: { practice: 2, unfinished: 1, unreadable: 1, invented: 0 } };
}
