import { expect, test } from 'vitest';
import { derive } from '../../src/records/derive';
import { handoutOf } from '../../src/records/handout';
import { chartNote } from '../../src/records/note';
import { missedIn, recheckOf, thenAndNow } from '../../src/records/recheck';
import { visitStartSchema } from '../../src/records/schema';
import { summarize } from '../../src/records/summary';
import type { VisitFact } from '../../src/records/types';
import {
  finding,
  logOf,
  module,
  otherId,
  started,
  startOf,
  teaching,
  texts,
  tried,
  visitId,
  wholeVisit,
} from './fixtures';

const earlier = derive(logOf(wholeVisit), texts);
const entry = {
  visit: otherId,
  bed: '4',
  staff: 'Q. Fenn',
  readiness: 'willing',
  concepts: ['lamp.light.shake', 'lamp.light.lips'],
} as const;
const start = recheckOf(earlier, module, entry);

const recheck: VisitFact[] = [
  { type: 'visit-started', start },
  { type: 'step-started', step: 'light' },
  ...tried('light', 1, entry.concepts.slice(), 'shake it well', [
    finding('lamp.light.shake', 'understood'),
    finding('lamp.light.lips', 'missed'),
  ]),
  { type: 'retaught', step: 'light', attempt: 1, concepts: ['lamp.light.lips'] },
  ...tried('light', 2, ['lamp.light.lips'], 'lips closed', [finding('lamp.light.lips', 'understood')]),
  { type: 'step-finished', step: 'light' },
  { type: 'finished', how: 'completed' },
];
const record = derive(logOf(recheck, otherId), texts);

test('what was missed is what is left open and what was said only after teaching again', () => {
  expect(missedIn(earlier).map(({ concept }) => concept)).toEqual(['lamp.light.shake', 'lamp.light.lips']);
});

test('a re-check takes over learner, language, needs and particulars, and asks only the points that were chosen', () => {
  expect(visitStartSchema.parse(start)).toEqual({
    ...startOf(),
    visit: otherId,
    bed: '4',
    staff: 'Q. Fenn',
    readiness: 'willing',
    steps: ['light'],
    recheck: {
      of: visitId,
      at: '2026-03-02T14:26:00.000Z',
      points: [
        { concept: 'lamp.light.shake', before: 'needs-person' },
        { concept: 'lamp.light.lips', before: 'after-reteach' },
      ],
      showMe: [],
    },
  });
});

test('what was entered for the day of the earlier visit is not taken over', () => {
  const day = started({
    readiness: 'eager',
    sitting: { id: visitId, index: 0, follows: false, toCome: [] },
  });
  const { readiness: _, ...without } = entry;
  const again = recheckOf(derive(logOf([day, ...wholeVisit.slice(1)]), texts), module, without);
  expect(again).not.toHaveProperty('readiness');
  expect(again).not.toHaveProperty('sitting');
});

test('the record number entered last is taken over, so that the re-check is filed for the same patient', () => {
  const numbered = derive(logOf([...wholeVisit, { type: 'record-number', number: 'L-3' }]), texts);
  expect(recheckOf(numbered, module, entry).recordNumber).toBe('L-3');
});

test('what the hands had not shown is watched again; what nobody watched is not', () => {
  const notYet = derive(logOf([...wholeVisit, { type: 'show-me', point: 'shake', shown: false }]), texts);
  expect(recheckOf(notYet, module, entry).recheck?.showMe).toEqual(['shake']);
});

test('a point that is not taught any more is left out, and nothing to ask is said in a sentence', () => {
  const today = { ...module, steps: module.steps.slice(1) };
  expect(() => recheckOf(earlier, today, entry)).toThrow(/^Choose at least one point to ask again\./);
  expect(() => recheckOf(earlier, module, { ...entry, concepts: [] })).toThrow(/^Choose at least one/);
});

test('a visit whose beginning is lost cannot be checked again, and says so', () => {
  expect(() => recheckOf(derive(logOf(wholeVisit).slice(1), texts), module, entry)).toThrow(
    /^The beginning of the earlier visit could not be read/,
  );
});

test('the record of a re-check holds its points alone, with what came of each then and now', () => {
  expect(record.concepts.map(({ concept }) => concept).toSorted()).toEqual([
    'lamp.light.lips',
    'lamp.light.shake',
  ]);
  expect(record.showMe).toEqual([]);
  expect(thenAndNow(record)).toEqual([
    { concept: 'lamp.light.shake', label: 'Shake well', before: 'needs-person', now: 'first-try' },
    { concept: 'lamp.light.lips', label: 'Lips tight', before: 'after-reteach', now: 'after-reteach' },
  ]);
  expect(thenAndNow(earlier)).toEqual([]);
});

test('summary and handout of a re-check are about its points', () => {
  expect(summarize(record, texts).rows).toHaveLength(2);
  expect(handoutOf(record, texts).steps.map(({ step }) => step)).toEqual(['light']);
});

test('the note says of which visit it is a re-check, how it was asked, and what came of each point', () => {
  const note = chartNote(record, teaching, { timeZone: 'UTC' });
  expect(note).toContain(`Re-check of the visit that ended 2026-03-02 14:26 UTC (${visitId})`);
  expect(note).toContain('Method: re-check at a kiosk. The learner was asked first');
  expect(note).toContain(
    [
      'RE-CHECK: THEN AND NOW',
      '- Shake well: then needs a person; now said at once',
      '- Lips tight: then said after teaching again; now said after teaching again',
    ].join('\n'),
  );
  expect(note).toContain('- Readiness to learn, as entered: willing');
});

test('the note of any other visit says nothing of re-checks, and of readiness only what was entered', () => {
  const note = chartNote(earlier, teaching, { timeZone: 'UTC' });
  expect(note).not.toMatch(/re-check/i);
  expect(note).not.toContain('Readiness');
  expect(note).toContain('Check the missed points again 48 to 72 hours after this visit.');
});
