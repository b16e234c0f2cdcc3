/*
 * An invented learner for the inhaler with a spacer. At first this person leaves out breathing out and the
 * counter, and presses three times; asked again, the person knows.
 */

/** The first answer to each step's question. */
const first: Record<string, string> = {
  which:
    'The rescue one is for when my breathing gets bad all of a sudden. The controller I take every day, even when I feel fine.',
  prepare:
    'I take the cap off and look inside. I shake the inhaler well before each puff. Then I push it into the back of the spacer.',
  puff: 'I close my lips tight around the mouthpiece. I press it three times, one after the other. Then I breathe in slow and deep and hold my breath for ten seconds.',
  repeat: 'I wait about one minute. Then I shake it again and do the same steps for the second puff.',
  after: 'I rinse my mouth with water and spit it out, so that I do not get a sore throat.',
  care: 'Once a week I wash the spacer in warm water with a little dish soap, and I let it dry in the air. No towel.',
  help: 'If the rescue inhaler does not help me or I can hardly talk, I call nine one one. If I need it more often than usual, I call my nurse.',
};

/** What this person says when one concept is asked for; the second way when that did not do. */
const narrow: Record<string, [string, string]> = {
  'inhaler-spacer.which.rescue': [
    'The rescue inhaler is for sudden trouble breathing.',
    'When it is suddenly hard to breathe I use the rescue inhaler.',
  ],
  'inhaler-spacer.which.controller': [
    'I take the controller every day, even when I feel well.',
    'Every day I use the controller inhaler, also when I feel good.',
  ],
  'inhaler-spacer.prepare.shake': [
    'I shake the inhaler well before each puff.',
    'Before every puff I shake it well.',
  ],
  'inhaler-spacer.prepare.cap': [
    'I take the cap off and look inside the mouthpiece.',
    'The cap comes off, and I look inside to see that it is clean.',
  ],
  'inhaler-spacer.prepare.attach': [
    'I push the inhaler into the back of the spacer.',
    'The inhaler goes into the back of the spacer.',
  ],
  'inhaler-spacer.prepare.prime': [
    'When it is new I spray it into the air first.',
    'If it has not been used for a while, I spray it into the air.',
  ],
  'inhaler-spacer.puff.out': [
    'First I breathe all the way out, away from the spacer.',
    'Before the puff I turn away and breathe all the way out.',
  ],
  'inhaler-spacer.puff.seal': [
    'I close my lips tight around the mouthpiece.',
    'My lips go tight around the mouthpiece.',
  ],
  'inhaler-spacer.puff.press': ['I press it only one time for each breath.', 'I press the inhaler once.'],
  'inhaler-spacer.puff.slow': ['I breathe in slowly and deeply.', 'I take a slow deep breath in.'],
  'inhaler-spacer.puff.hold': [
    'I hold my breath for about ten seconds.',
    'I hold my breath and count to ten.',
  ],
  'inhaler-spacer.repeat.wait': ['I wait about one minute before the second puff.', 'I wait one minute.'],
  'inhaler-spacer.repeat.again': [
    'I shake it again and do all the same steps.',
    'For the second puff I shake it again and do the same steps.',
  ],
  'inhaler-spacer.after.rinse': [
    'After the controller I rinse my mouth with water and spit it out.',
    'I rinse my mouth with water and spit.',
  ],
  'inhaler-spacer.after.why': [
    'Rinsing keeps away a sore throat and thrush.',
    'So that I do not get an infection in my mouth.',
  ],
  'inhaler-spacer.care.wash': [
    'I wash the spacer once a week in warm water with dish soap.',
    'Every week I wash the spacer in warm soapy water.',
  ],
  'inhaler-spacer.care.airdry': [
    'I let the spacer air dry and do not use a towel.',
    'It dries in the air. No towel.',
  ],
  'inhaler-spacer.care.counter': [
    'I look at the number on the inhaler and get a refill before it runs out.',
    'I check the counter, and I get a refill before it is empty.',
  ],
  'inhaler-spacer.help.emergency': [
    'If the rescue inhaler does not help or I can hardly talk, I call nine one one.',
    'I call nine one one right away when the rescue inhaler does not help.',
  ],
  'inhaler-spacer.help.call': [
    'If I need the rescue inhaler more often than usual, I call the doctor.',
    'When I need the rescue inhaler more often, I call my nurse.',
  ],
};

/** Left out or said wrongly at the first try. */
export const misses = ['inhaler-spacer.puff.out', 'inhaler-spacer.puff.press', 'inhaler-spacer.care.counter'];

/** What the learner says to the question of a step, or to a narrower one. */
export function answerTo(step: string, attempt: number, asked: readonly string[]): string {
  if (attempt <= 1) {
    const whole = first[step];
    if (!whole) throw new Error(`the learner knows nothing about step "${step}"`);
    return whole;
  }
  return asked
    .map((concept) => {
      const ways = narrow[concept];
      if (!ways) throw new Error(`the learner knows nothing about "${concept}"`);
      return ways[attempt === 2 ? 0 : 1];
    })
    .join(' ');
}
