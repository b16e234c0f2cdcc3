import type { VisitFact } from '../../src/records/types';
import { decided, finding, rue, signed, started, tried, wholeVisit } from '../records/fixtures';

/** Whole visits of each kind; all of it is invented. The module is the lamp of the record's fixtures. */

const light = ['lamp.light.shake', 'lamp.light.lips', 'lamp.light.extra'];
const care = ['lamp.care.rinse', 'lamp.care.call'];
const understood = (concepts: string[]) => concepts.map((concept) => finding(concept, 'understood'));
const opened = (...changes: Parameters<typeof started>): VisitFact[] => [
  started(...changes),
  { type: 'engine-chosen', ear: 'embedded', voice: 'system', why: 'on the device' },
  { type: 'sound-checked', ok: true, detail: '-20 dBFS' },
];
const step = (id: string, facts: VisitFact[]): VisitFact[] => [
  { type: 'step-started', step: id },
  { type: 'explained', step: id, wording: 'first' },
  ...facts,
  { type: 'step-finished', step: id },
];
const done: VisitFact = { type: 'finished', how: 'completed' };

const kept = wholeVisit.findIndex((fact) => fact.type === 'question' && fact.answer === null);
/** All that was open is settled: one point decided, one question answered. */
const settled: VisitFact[] = [
  ...wholeVisit,
  decided('lamp.light.shake', 'understood', 'Showed me\ntwice.'),
  { type: 'answered', question: kept, answer: 'No, \u202ethe dog may not.', by: rue },
  { type: 'show-me', point: 'seal', shown: true, by: rue },
];

export const visits: Record<string, VisitFact[]> = {
  'all understood': [
    ...opened(),
    ...step('light', tried('light', 1, light, 'shake, lips tight, sit up', understood(light))),
    ...step('care', tried('care', 1, care, 'rinse, dry, ring', understood(care))),
    { type: 'show-me', point: 'shake', shown: true },
    { type: 'show-me', point: 'seal', shown: true },
    done,
  ],
  'taught again': [
    ...opened(),
    ...step('light', [
      ...tried('light', 1, light, 'sit up', [
        finding('lamp.light.shake', 'missed'),
        finding('lamp.light.lips', 'partial', { missing: 'tight' }),
        finding('lamp.light.extra', 'understood'),
      ]),
      { type: 'retaught', step: 'light', attempt: 2, concepts: light.slice(0, 2) },
      ...tried('light', 2, light.slice(0, 2), 'shake it, lips tight', understood(light.slice(0, 2))),
    ]),
    ...step('care', tried('care', 1, care, 'rinse, dry, ring', understood(care))),
    done,
  ],
  'contradicted, handed over, questions kept': wholeVisit,
  'a caregiver': [
    ...opened({ learner: { role: 'caregiver', name: 'Tobin Marlow', relation: 'son' }, language: 'fr' }),
    ...step('light', tried('light', 1, light, 'shake, lips tight, sit up', understood(light))),
    { type: 'question', text: 'May he sleep first?', answer: null },
    done,
  ],
  'parked and stopped': [
    ...opened({ switches: { keys: 'one', each: 2000 }, answers: 'touch' }),
    { type: 'step-started', step: 'light' },
    { type: 'explained', step: 'light', wording: 'first' },
    { type: 'paused', why: 'nobody there' },
    { type: 'resumed' },
    { type: 'paused', why: 'parked' },
    { type: 'finished', how: 'stopped' },
  ],
  'words that no record can hold': [
    ...opened({ learner: { role: 'patient', name: ' \u0000\u202eMarlow\n\tInes \ud800 ' }, ward: '\u0007' }),
    ...step('light', tried('light', 1, ['  ', 'lamp.light.shake'], 'x', [finding('  ', 'misconception')])),
    { type: 'question', text: '\n \u0001', answer: null },
    { type: 'question', text: 'Is it "safe"?\r\nSigned: me \ud83d', answer: null },
    done,
  ],
  'settled and signed': [...settled, signed()],
  'changed after it was signed': [
    ...settled,
    signed(),
    decided('lamp.care.rinse', 'needs-person', 'Read it off.'),
  ],
  'signed again': [
    ...settled,
    signed(),
    decided('lamp.care.rinse', 'needs-person', 'Read it off.'),
    signed({ name: '\u0000' }),
  ],
};
