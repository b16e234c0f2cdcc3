import { describe, expect, test } from 'vitest';
import { type VisitHarness, visit, visitAtFirstStep } from './harness';

const all = { 'puff.shake': 'understood', 'puff.seal': 'understood', 'puff.slow': 'understood' } as const;

/** Everywhere the ear opens: how one gets there, and what was asked there last. */
const ears: [string, () => VisitHarness, string][] = [
  ['the sound check', () => visit({ start: { audioOnly: true } }).starts(), 'soundCheck'],
  ['the first question', () => visit().starts().hears('yes').untilListening(), 'questionsFirst'],
  ['an open question', () => visitAtFirstStep().untilListening(), 'Question puff?'],
  [
    'a question about one piece',
    () =>
      visitAtFirstStep()
        .hears('one', { 'puff.shake': 'understood', 'puff.seal': 'understood' })
        .untilListening(),
    'Ask puff.slow?',
  ],
  [
    '"is that right?"',
    () => visitAtFirstStep().hears('shake it', all, 0.3).reaches('confirm'),
    'isThatRight',
  ],
  ["the learner's own question", () => visitAtFirstStep().presses('ASK').untilListening(), 'questionPlease'],
  [
    'a pause by ear',
    () =>
      visitAtFirstStep({ start: { audioOnly: true } })
        .presses('PAUSE')
        .untilListening(),
    'paused',
  ],
];

describe.each(ears)('said at %s', (_, there, asked) => {
  test('"again" says the last thing again', async () => {
    const v = await there().untilListening().forgetsWhatWasSaid().hears('again').untilListening();
    expect(v.world.said.join('\n')).toContain(asked);
    expect(v.world.broken).toEqual([]);
  });

  test.each([
    ['slower', 'slowerNow', { rate: 0.75 }],
    ['faster', 'fasterNow', { rate: 1.25 }],
    ['louder', 'louderNow', { volume: 1 }],
    ['quieter', 'quieterNow', { volume: 0.25 }],
  ])(
    '"%s" is confirmed in a word, in the new way, and the question comes again',
    async (command, says, how) => {
      const v = await there().untilListening().forgetsWhatWasSaid().hears(command).untilListening();
      expect(v.world.said[0]).toBe(says);
      expect(v.world.said.slice(1).join('\n')).toContain(asked);
      expect(v.world.speaks.at(-1)).toMatchObject(how);
      expect(v.view).toMatchObject(how);
      expect(v.world.broken).toEqual([]);
    },
  );

  test('"where am I" is answered, and the question comes again', async () => {
    const v = await there().untilListening().forgetsWhatWasSaid().hears('where').untilListening();
    expect(v.world.said[0]).toMatch(/^(whereStart 2|stepCount 1 2)$/);
    expect(v.world.said.slice(1).join('\n')).toContain(asked);
  });

  test('"help" calls staff', async () => {
    const v = await there().hears('help').expects('help').waits(200);
    expect(v.world.calls).toEqual([{ by: 'learner', text: '' }]);
    expect(v.world.said).toContain('helpComing');
  });

  test('"a break" pauses, and more of it does not end the visit', async () => {
    const v = await there().hears('pause').expects('paused').presses('PAUSE').waits(500).expects('paused');
    expect(v.facts.some((fact) => fact.type === 'finished')).toBe(false);
    expect(v.world.broken).toEqual([]);
  });

  test('"stop" pauses first', async () => {
    if (asked === 'paused') await there().hears('stop').expects('ended');
    else await there().hears('stop').expects('paused');
  });
});

describe('for the rest of the visit', () => {
  test('a slower and quieter voice stays through steps, a pause and help', async () => {
    const v = await visitAtFirstStep()
      .hears('slower')
      .hears('quieter')
      .untilListening()
      .presses('PAUSE')
      .waits(500)
      .presses('GO_ON')
      .untilListening()
      .presses('HELP')
      .presses('HELP_OVER')
      .untilListening()
      .hears('shake', all)
      .reaches('explain')
      .waits(100);
    expect(v.view).toMatchObject({ rate: 0.75, volume: 0.25 });
    expect(v.world.speaks.at(-1)).toMatchObject({ rate: 0.75, volume: 0.25 });
  });

  test('what cannot go further is said, too', async () => {
    const v = await visitAtFirstStep()
      .untilListening()
      .presses('LOUDER')
      .forgetsWhatWasSaid()
      .presses('LOUDER')
      .waits(50);
    expect(v.world.said[0]).toBe('asFarAsItGoes');
    expect(v.view.volume).toBe(1);
  });
});

describe('where we are', () => {
  test('is said at the start of each step, not at each turn', async () => {
    const v = await visitAtFirstStep()
      .hears('one', { 'puff.shake': 'understood' })
      .hears('rest', all)
      .reaches('explain')
      .untilListening();
    expect(v.world.said.filter((text) => text.startsWith('stepCount'))).toEqual([
      'stepCount 1 2',
      'stepCount 2 2',
    ]);
  });

  test('is told while something else is being said, which goes on from its sentence', async () => {
    const v = await visitAtFirstStep().waits(250).forgetsWhatWasSaid().presses('WHERE').waits(10);
    expect(v.world.speaks.at(-1)?.sentences).toEqual([
      'stepCount 1 2',
      'stepLead The puff',
      'Teach puff one.',
      'Teach puff two with the blue one.',
    ]);
    // The word about it is what the screen shows meanwhile.
    expect(v.view).toMatchObject({ captions: ['stepCount 1 2', 'stepLead The puff'], speaking: 0 });
  });

  test('is told at the cards, at show-me, at the end and in a pause', async () => {
    const cards = await visitAtFirstStep()
      .presses('USE_CARDS')
      .reaches('cards')
      .waits(2000)
      .forgetsWhatWasSaid()
      .presses('WHERE')
      .waits(300);
    expect(cards.world.said.slice(0, 3)).toEqual(['stepCount 1 2', 'stepLead The puff', 'Question puff?']);
    const rest = visitAtFirstStep()
      .hears('shake', all)
      .reaches('explain')
      .hears('rinse', { 'after.rinse': 'understood' })
      .reaches('show-me')
      .waits(1000);
    const shown = await rest.forgetsWhatWasSaid().presses('WHERE').waits(100);
    expect(shown.world.said[0]).toBe('whereEnd');
    const paused = await rest
      .presses('PAUSE')
      .waits(1000)
      .forgetsWhatWasSaid()
      .presses('WHERE')
      .waits(300)
      .presses('AGAIN')
      .waits(300);
    expect(paused.world.said).toEqual(['whereEnd', 'paused', 'paused']);
  });
});

describe('sounds', () => {
  test('tell whose turn it is and that it was heard, as loud as the voice', async () => {
    const v = await visitAtFirstStep().presses('LOUDER').begins('shake').presses('DONE').waits(50);
    expect(v.world.earcons.slice(-2)).toEqual(['your-turn', 'heard']);
    expect(v.world.earconVolumes.slice(-2)).toEqual([1, 1]);
    expect(v.world.earconVolumes[0]).toBe(0.5);
  });

  test('tell that it is at work only where that takes longer than 0.7 s', async () => {
    const quick = await visitAtFirstStep().hears('shake', all).reaches('explain');
    expect(quick.world.earcons).not.toContain('thinking');
    const v = visitAtFirstStep().begins('shake');
    const slow = await v
      .does(() => {
        v.world.judging = 'hangs';
      })
      .presses('DONE')
      .waits(600);
    expect(slow.world.earcons).not.toContain('thinking');
    await slow.world.pass(300);
    expect(slow.world.earcons.filter((name) => name === 'thinking')).toHaveLength(1);
    // It goes on thinking, and does not nag.
    await slow.world.pass(3000);
    expect(slow.world.earcons.filter((name) => name === 'thinking')).toHaveLength(1);
  });
});
