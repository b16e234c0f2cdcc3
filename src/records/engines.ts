import type { EngineId } from '../hearing/types';
import type { VoiceId } from '../speaking/types';
import type { VisitRecord } from './derive';

/** What heard the answers, for staff. */
export const earNames: Record<EngineId, string> = {
  'browser-local': "the browser's recogniser, on the device",
  'browser-cloud': "the browser's recogniser, over the network",
  embedded: 'the built-in recogniser, on the device',
  touch: 'touch',
  typed: 'typing',
};
const voiceNames: Record<VoiceId, string> = {
  clip: 'recorded clips',
  system: "the device's voice",
  embedded: 'the built-in voice',
  none: 'no voice, text only',
};

export function named(ids: readonly string[], names: Record<string, string>): string {
  return ids.map((id) => (Object.hasOwn(names, id) ? names[id] : id)).join(', ') || 'not recorded';
}

/** What heard and what spoke, in words. */
export const heardAndSpoken = ({ ears, voices }: VisitRecord): string =>
  `Heard by: ${named(ears, earNames)}; spoken by: ${named(voices, voiceNames)}`;

/** What came of asking whether the voice may leave the device. */
export function cloudAnswer({ engine, agreed }: NonNullable<VisitRecord['cloud']>): string {
  return `The learner was asked whether the voice may leave the device (${earNames[engine]}) and ${agreed ? 'agreed' : 'declined; answers were given by touch and typing'}.`;
}
