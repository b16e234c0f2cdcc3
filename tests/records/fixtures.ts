import { readCommon } from '../../phrasebanks/read';
import type { ModuleFile, TeachingFile } from '../../phrasebanks/schema';
import type { Heard } from '../../src/hearing/types';
import type { By, VisitEvent, VisitFact, VisitStart } from '../../src/records/types';
import type { Finding, Label } from '../../src/scoring/types';

/** Everything here is invented. */
export const visitId = '3f0c7a52-5a0e-4c57-9b1e-0d8f5f0a1c11';
export const otherId = '8d1b5a3e-0c4b-4f0e-8a57-6a4f3f1d2b22';

export function startOf(changes: Partial<VisitStart> = {}): VisitStart {
  return {
    visit: visitId,
    practice: false,
    ward: 'Harbor 4',
    bed: '12',
    staff: 'R. Quillon, educator',
    learner: { role: 'patient', name: 'Ines Marlow' },
    language: 'en',
    interpreter: false,
    prefers: 'listening',
    barriers: ['sight', 'memory'],
    module: 'lamp',
    moduleVersion: '1.0.0',
    steps: ['light', 'care'],
    audioOnly: true,
    particulars: {
      medicine: 'blue mist',
      timesADay: '2',
      callNumber: '555-0142',
      emergencyNumber: '555-0100',
      careTeam: 'the Harbor 4 team',
      flameDistance: '10 feet',
      tubingLength: '50 feet',
      soakIn: 'soapy water',
      soakTime: '20 minutes',
    },
    ...changes,
  };
}

export const module: ModuleFile = {
  id: 'lamp',
  version: '1.0.0',
  steps: [
    {
      id: 'light',
      picture: 'lamp/light.svg',
      concepts: [
        { id: 'lamp.light.shake', weight: 'critical' },
        { id: 'lamp.light.lips', weight: 'key' },
        { id: 'lamp.light.extra', weight: 'helpful' },
      ],
    },
    {
      id: 'care',
      picture: 'lamp/care.svg',
      concepts: [
        { id: 'lamp.care.rinse', weight: 'key' },
        { id: 'lamp.care.call', weight: 'critical' },
      ],
    },
  ],
  showMe: ['shake', 'seal'],
  sources: [],
};

const concept = (label: string) => ({
  label,
  again: [[`${label}, told anew.`], [`${label}, told a third way.`]] as [string[], string[]],
  ask: `What about: ${label}?`,
});

export const teaching: TeachingFile = {
  module: 'lamp',
  language: 'en',
  reviewedBy: null,
  title: 'Inhaler practice',
  device: 'your inhaler',
  names: [],
  steps: {
    light: {
      title: 'Take a puff',
      teach: ['Shake it.', 'Close your lips.'],
      simplest: ['Shake {medicine}.', 'Lips tight.'],
      question: 'How will you take a puff?',
      pictureText: 'A hand shakes.',
    },
    care: {
      title: 'Care for it',
      teach: ['Rinse it.'],
      simplest: ['Rinse it.'],
      question: 'How will you care for it?',
      pictureText: 'Water runs.',
    },
  },
  concepts: {
    'lamp.light.shake': { ...concept('Shake well'), correct: { 'no-shake': 'It does need a shake.' } },
    'lamp.light.lips': concept('Lips tight'),
    'lamp.light.extra': concept('Sit up'),
    'lamp.care.rinse': concept('Rinse, then dry'),
    'lamp.care.call': concept('Call {emergencyNumber} when it is bad'),
  },
  answers: [],
  showMe: { shake: 'Shakes it.', seal: 'Closes the lips.' },
  handout: { care: ['Rinse it each week.'], whenToCall: ['Call {careTeam} at {callNumber} any time.'] },
};

export const texts = { module, teaching, common: readCommon('en') };

export const finding = (concept: string, label: Label, changes: Partial<Finding> = {}): Finding => ({
  concept,
  label,
  confidence: 0.9,
  evidence: [],
  reason: `Judged ${label}.`,
  ...changes,
});

export const heard = (text: string, changes: Partial<Heard> = {}): Heard => ({
  text,
  confidence: 0.8,
  alternatives: [],
  engine: 'embedded',
  ...changes,
});

export const started = (changes: Partial<VisitStart> = {}): VisitFact => ({
  type: 'visit-started',
  start: startOf(changes),
});

/** Question, answer, judgement. */
export const tried = (
  step: string,
  attempt: number,
  concepts: string[],
  text: string,
  findings: Finding[],
): VisitFact[] => [
  { type: 'asked', step, attempt, concepts, text: `Tell me about ${step}.` },
  { type: 'heard', step, attempt, mode: 'voice', heard: heard(text), confirmed: null },
  { type: 'judged', step, attempt, findings },
];

/** One fact a minute from 14:00 UTC on 2 March 2026. */
export const logOf = (facts: VisitFact[], visit = visitId): VisitEvent[] =>
  facts.map((fact, seq) => ({
    visit,
    seq,
    at: new Date(Date.UTC(2026, 2, 2, 14, seq)).toISOString(),
    fact,
  }));

const lightAll = ['lamp.light.shake', 'lamp.light.lips', 'lamp.light.extra'];

/** A whole visit: one thing contradicted and handed over, one taught again, one fine, an extra unsaid. */
export const wholeVisit: VisitFact[] = [
  started(),
  { type: 'engine-chosen', ear: 'embedded', voice: 'system', why: 'on the device' },
  { type: 'sound-checked', ok: true, detail: '-20 dBFS' },
  { type: 'step-started', step: 'light' },
  { type: 'explained', step: 'light', wording: 'first' },
  ...tried('light', 1, lightAll, 'no need to shake it, just breathe', [
    finding('lamp.light.shake', 'misconception', {
      contradiction: 'no-shake',
      evidence: [{ start: 0, end: 16 }],
    }),
    finding('lamp.light.lips', 'missed'),
    finding('lamp.light.extra', 'missed'),
  ]),
  { type: 'retaught', step: 'light', attempt: 2, concepts: ['lamp.light.shake', 'lamp.light.lips'] },
  ...tried('light', 2, ['lamp.light.shake', 'lamp.light.lips'], 'lips tight round it', [
    finding('lamp.light.shake', 'missed'),
    finding('lamp.light.lips', 'understood', { evidence: [{ start: 0, end: 10 }] }),
  ]),
  { type: 'handed-over', step: 'light', concepts: ['lamp.light.shake'] },
  { type: 'step-finished', step: 'light' },
  { type: 'question', text: 'Can my <b>dog</b> have some?', answer: null },
  { type: 'question', text: 'Is it loud?', answer: 'No, it is quiet.' },
  { type: 'step-started', step: 'care' },
  { type: 'explained', step: 'care', wording: 'first' },
  { type: 'not-heard', step: 'care', reason: 'nothing-heard' },
  ...tried('care', 1, ['lamp.care.rinse', 'lamp.care.call'], 'rinse and dry and ring if it is bad', [
    finding('lamp.care.rinse', 'understood'),
    finding('lamp.care.call', 'understood'),
  ]),
  { type: 'step-finished', step: 'care' },
  { type: 'help-called', by: 'learner', text: 'water please' },
  { type: 'show-me', point: 'shake', shown: false },
  { type: 'show-me', point: 'shake', shown: true },
  { type: 'finished', how: 'completed' },
];

/** Somebody of the staff who has opened the records. */
export const rue: By = { name: 'R. Quillon', id: 'rue' };

export const decided = (
  concept: string,
  decision: 'understood' | 'needs-person',
  reason: string,
): VisitFact => ({ type: 'decided', concept, decision, reason, by: rue });

export const signed = (by: By = rue): VisitFact => ({ type: 'signed', by });
