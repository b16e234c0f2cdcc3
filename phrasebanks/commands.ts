/** The voice commands, in the order in which they are looked for. */
export const commandNames = [
  'again',
  'slower',
  'faster',
  'louder',
  'quieter',
  'yes',
  'no',
  'next',
  'help',
  'question',
  'where',
  'pause',
  'stop',
] as const;
export type CommandName = (typeof commandNames)[number];
