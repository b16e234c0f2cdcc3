/** Answers in words that no phrasebank holds (a test sees to it), with the concept that each one earns. */
export const sentences: readonly { text: string; step: string; concept: string }[] = [
  {
    text: 'The rescue one is what I grab when all of a sudden I have trouble breathing.',
    step: 'which',
    concept: 'inhaler-spacer.which.rescue',
  },
  {
    text: 'The controller I have to use every single day even if I am feeling well.',
    step: 'which',
    concept: 'inhaler-spacer.which.controller',
  },
  {
    text: 'Before every puff I have to shake the inhaler really well.',
    step: 'prepare',
    concept: 'inhaler-spacer.prepare.shake',
  },
  {
    text: 'So the cap comes off, and then I look inside the mouthpiece to see if it is clean.',
    step: 'prepare',
    concept: 'inhaler-spacer.prepare.cap',
  },
  {
    text: 'My lips go around the mouthpiece, closed up tight.',
    step: 'puff',
    concept: 'inhaler-spacer.puff.seal',
  },
  {
    text: 'I would breathe in, you know, nice and slow and deep.',
    step: 'puff',
    concept: 'inhaler-spacer.puff.slow',
  },
  {
    text: 'Then I try to hold my breath for ten seconds.',
    step: 'puff',
    concept: 'inhaler-spacer.puff.hold',
  },
  {
    text: 'I wait about a minute before I take the second puff.',
    step: 'repeat',
    concept: 'inhaler-spacer.repeat.wait',
  },
  {
    text: 'Rinse out my mouth with some water and spit it in the sink.',
    step: 'after',
    concept: 'inhaler-spacer.after.rinse',
  },
  {
    text: 'Let it air dry on the counter, I do not wipe it with a towel.',
    step: 'care',
    concept: 'inhaler-spacer.care.airdry',
  },
];
