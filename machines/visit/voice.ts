import { type Adjust, faster, louder, slower, softer } from '../pace';
import { nextStep } from '../progress';
import * as script from '../script';
import { type VisitContext, words } from './context';

/** Where the visit stands, for "where are we?" */
const whereIs = (context: VisitContext): string[] => {
  const step = context.step ?? nextStep(context.start, context.facts);
  const early = context.place === 'sound-check' || context.place === 'first-question';
  return script.where(
    words(context),
    early ? 'start' : context.place === 'teaching' && step !== null ? { step } : 'end',
  );
};

/** What a person may change about the voice, or ask of it, at any time. */
const aboutVoice = {
  SLOWER: { rate: slower, says: 'slowerNow' },
  FASTER: { rate: faster, says: 'fasterNow' },
  LOUDER: { volume: louder, says: 'louderNow' },
  SOFTER: { volume: softer, says: 'quieterNow' },
} as const;

/** How to speak from now on after such an event, and the word that confirms it. */
export const adjustOn = (context: VisitContext, event: { type: string }): Adjust => {
  const { rate, volume } = context;
  const change = aboutVoice[event.type as keyof typeof aboutVoice];
  if (change === undefined) return { type: 'ADJUST', rate, volume, says: whereIs(context) };
  const now = {
    rate: 'rate' in change ? change.rate(rate) : rate,
    volume: 'volume' in change ? change.volume(volume) : volume,
  };
  const same = now.rate === rate && now.volume === volume;
  return {
    type: 'ADJUST',
    ...now,
    says: script.prompt(words(context), same ? 'asFarAsItGoes' : change.says),
  };
};

/** All of these, answered in the same way. */
export const onVoice = <const T>(transition: T) => ({
  SLOWER: transition,
  FASTER: transition,
  LOUDER: transition,
  SOFTER: transition,
  WHERE: transition,
});
