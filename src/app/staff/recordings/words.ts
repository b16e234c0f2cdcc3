import type { SentenceGroup, SentenceRole } from '../../../../machines/sentences';
import type { TakeVerdict } from '../../../hearing/audio/take';
import type { SentenceState } from '../../recordings';
import type { Filter } from './choice';

export const stateNames: Record<SentenceState, string> = {
  voice: 'computer voice',
  recorded: 'recorded',
  outdated: 'out of date',
};

export const roleNames: Record<SentenceRole, string> = {
  prompt: 'Around the lesson',
  lead: 'Begins a part',
  teach: 'Teaching',
  question: 'Question',
  again: 'Teaching again',
  ask: 'Question about one point',
  correct: 'Puts a wrong belief right',
  simplest: 'Teaching in the fewest words',
  name: 'Name of a point',
  answer: 'Approved answer',
  point: 'To be shown with the hands',
  'when-to-call': 'When to call',
};

export const groupName = (group: SentenceGroup): string =>
  ({
    around: 'Around every lesson',
    step: group.kind === 'step' ? group.title : '',
    answers: 'Answers to questions',
    'show-me': 'To be shown with the hands',
    end: 'When to call',
  })[group.kind];

/** What to do about a recording. */
export const verdicts: Record<TakeVerdict, string> = {
  fine: 'Good. Listen to it, or keep it.',
  empty: 'No voice was heard, so nothing was kept. Check the microphone, then record again.',
  'too-quiet': 'Very quiet. Come closer or speak up, and record again.',
  'too-noisy': 'The room is loud. Close the door or wait for quiet, and record again.',
  'cut-off': 'Too loud: the sound was cut off. Move back a little, and record again.',
};

export const filterNames: Record<Filter, string> = {
  all: 'All sentences',
  open: 'Without a recording',
  outdated: 'Out of date',
  recorded: 'Recorded',
};

const slotNames: Record<string, string> = {
  medicine: 'the medicine',
  timesADay: 'how often a day',
  careTeam: 'the care team',
  callNumber: 'the number to call',
  emergencyNumber: 'the emergency number',
  flameDistance: 'the distance from flames',
  tubingLength: 'the length of the tubing',
  soakIn: 'what to soak in',
  soakTime: 'how long to soak',
};

export const namesOfSlots = (slots: readonly string[]): string =>
  slots.map((slot) => slotNames[slot] ?? slot).join(' and ');
