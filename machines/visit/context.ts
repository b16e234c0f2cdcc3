import type { EngineId } from '../../src/hearing/types';
import type { VisitFact } from '../../src/records/types';
import type { VoiceId } from '../../src/speaking/types';
import { firstVoice, type Voice } from '../pace';
import { type Place, placeOf } from '../progress';
import type * as script from '../script';
import type { HelpCall } from '../services';
import type { SnapshotOf } from '../snapshot';
import type { SoundSoFar } from '../soundCheck';
import type { AnswerMode, VisitInput } from '../types';

export interface VisitContext extends Omit<VisitInput, 'voice'>, Voice, SoundSoFar {
  /** All facts of the visit, past ones first. The one truth about how far it is. */
  facts: VisitFact[];
  /** Facts that are not stored yet, in order; the first `inFlight` are being stored. */
  queue: VisitFact[];
  inFlight: number;
  /** The last try to store failed, or takes too long. */
  storeTrouble: boolean;
  place: Place;
  step: string | null;
  mode: AnswerMode;
  ear: EngineId | null;
  earWhy: string;
  voice: VoiceId | null;
  help: HelpCall | null;
  asked: string;
  says: string[] | null;
  /** Said once before what the visit says itself. */
  told: string[];
  /** The voice was too low in the sound check: tried louder. */
  soundTries: number;
  /** Turns of the sound check whose sound was not fine: after each of the first two we say what would help. */
  soundBad: number;
  inner: SnapshotOf | null;
}

/** As a visit begins; how far it is already is read from its past by `begin`. */
export const firstContext = ({ input: { voice, ...input } }: { input: VisitInput }): VisitContext => ({
  ...input,
  ...(voice ?? firstVoice(input.start)),
  facts: input.past,
  queue: [],
  inFlight: 0,
  storeTrouble: false,
  place: placeOf(input.lesson, input.start, []),
  step: null,
  mode: input.start.answers === 'touch' ? 'cards' : 'voice',
  ear: null,
  earWhy: '',
  voice: null,
  help: null,
  asked: '',
  says: null,
  told: [],
  soundTries: 0,
  sound: null,
  soundBad: 0,
  soundLead: null,
  inner: null,
});

export const words = ({ lesson, start }: VisitContext): script.Words => ({ lesson, start });

/** The answer to whether the voice may leave the device, once there is one. */
export const cloudFact = ({ facts }: VisitContext) => facts.findLast((fact) => fact.type === 'cloud-asked');

export const asksCloud = (context: VisitContext) =>
  context.askCloud === true && cloudFact(context) === undefined;
