import type { KioskTimings } from '../../machines/kiosk';
import { promptKeys, promptSlots } from '../../machines/prompts';
import type { Lesson, Timings } from '../../machines/types';
import type { VisitStart } from '../../src/records/types';

/*
 * A small lesson, made up for these tests: two steps about a spacer. Prompts say their own key, so that a
 * test sees which was said.
 */

export const lesson: Lesson = {
  module: {
    id: 'spacer',
    version: '1',
    steps: [
      {
        id: 'puff',
        picture: 'puff.svg',
        concepts: [
          { id: 'puff.shake', weight: 'critical' },
          { id: 'puff.seal', weight: 'key' },
          { id: 'puff.slow', weight: 'key' },
          { id: 'puff.upright', weight: 'helpful' },
        ],
      },
      {
        id: 'after',
        picture: 'after.svg',
        concepts: [
          { id: 'after.rinse', weight: 'critical' },
          { id: 'after.why', weight: 'helpful' },
        ],
      },
    ],
    showMe: ['shakes', 'seals'],
    sources: [],
  },
  teaching: {
    module: 'spacer',
    language: 'en',
    reviewedBy: null,
    title: 'Spacer',
    device: 'your spacer',
    names: [],
    steps: {
      puff: {
        title: 'The puff',
        teach: ['Teach puff one.', 'Teach puff two with {medicine}.'],
        simplest: ['Simplest puff.'],
        question: 'Question puff?',
        pictureText: 'A puff',
      },
      after: {
        title: 'Afterwards',
        teach: ['Teach after.'],
        simplest: ['Simplest after.'],
        question: 'Question after?',
        pictureText: 'A cup',
      },
    },
    concepts: Object.fromEntries(
      ['puff.shake', 'puff.seal', 'puff.slow', 'puff.upright', 'after.rinse', 'after.why'].map((id) => [
        id,
        {
          label: `label ${id}`,
          again: [[`Again one ${id}.`], [`Again two ${id}.`]] as [string[], string[]],
          ask: `Ask ${id}?`,
          askPart: { part: `Ask part ${id}?` },
          correct: { opposite: `Correct ${id}.` },
        },
      ]),
    ),
    answers: [{ id: 'wash', asks: ['how to wash it'], says: ['Answer wash, or call {callNumber}.'] }],
    showMe: { shakes: 'Shakes it.', seals: 'Seals the lips.' },
    handout: { care: [], whenToCall: ['Call {callNumber} when worse.'] },
  },
  common: {
    language: 'en',
    reviewedBy: null,
    prompts: Object.fromEntries(
      promptKeys.map((key) => [key, [key, ...promptSlots[key].map((slot: string) => `{${slot}}`)].join(' ')]),
    ),
    slots: {
      medicine: 'your medicine',
      timesADay: 'two',
      careTeam: 'the ward',
      flameDistance: '10 feet',
      tubingLength: '50 feet',
      soakIn: 'soapy water',
      soakTime: '20 minutes',
    },
    paper: {} as never,
    screens: {} as never,
    commands: {
      again: [],
      slower: [],
      faster: [],
      louder: [],
      quieter: [],
      yes: [],
      no: [],
      next: [],
      help: [],
      question: [],
      where: [],
      pause: [],
      stop: [],
    },
    distress: { phrases: ['i cannot breathe'], words: {}, own: [], anyone: [], calm: [] },
    questions: { open: ['what'], closed: ['do'] },
    blame: [],
    plain: {},
  },
};

export const start: VisitStart = {
  visit: '00000000-0000-4000-8000-000000000001',
  practice: true,
  ward: 'Harbor 4',
  bed: '12',
  staff: 'practice',
  learner: { role: 'patient', name: 'Practice' },
  language: 'en',
  interpreter: false,
  prefers: 'listening',
  barriers: [],
  module: 'spacer',
  moduleVersion: '1',
  steps: ['puff', 'after'],
  audioOnly: false,
  particulars: {
    medicine: 'the blue one',
    timesADay: 'two',
    callNumber: '555-0100',
    emergencyNumber: '911',
    careTeam: 'the ward',
    flameDistance: '10 feet',
    tubingLength: '50 feet',
    soakIn: 'soapy water',
    soakTime: '20 minutes',
  },
};

export const timings: Timings = {
  quietTail: 300,
  shortPause: 2000,
  longPause: 3000,
  closePause: 6000,
  nothingHeard: 11_000,
  longestTurn: 90_000,
  engineStuck: 4000,
};

export const kioskTimings: KioskTimings = { inactive: 60_000, answerWithin: 30_000, parkAfter: 120_000 };
