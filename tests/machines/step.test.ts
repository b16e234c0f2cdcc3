import { describe, expect, test } from 'vitest';
import { visitAtFirstStep } from './harness';

const missing = { 'puff.shake': 'understood' } as const;
const all = { 'puff.shake': 'understood', 'puff.seal': 'understood', 'puff.slow': 'understood' } as const;

describe('teaching again', () => {
  test('a second time it is taught in the other words', async () => {
    await visitAtFirstStep()
      .hears('one', missing)
      .hears('two', {})
      .untilListening()
      .expectsSaid('Again one puff.seal.', 'Again two puff.seal.', 'Again two puff.slow.')
      .expectsNotSaid('Simplest puff.');
  });

  test('when all of it is still missing on the last try, the whole is said in the fewest words', async () => {
    const v = await visitAtFirstStep()
      .hears('one')
      .hears('two')
      .untilListening()
      .expectsSaid('Simplest puff.', 'teachSimplestLead');
    expect(v.facts).toContainEqual({ type: 'explained', step: 'puff', wording: 'simplest' });
  });

  test('three failed tries end with a person taking over, and the visit goes on', async () => {
    const v = await visitAtFirstStep()
      .hears('one', missing)
      .hears('two')
      .hears('three', { 'puff.seal': 'understood' })
      .reaches('handover')
      .reaches('explain')
      .expectsSaid('personWillHelp', 'label puff.slow.');
    expect(v.facts).toContainEqual({ type: 'handed-over', step: 'puff', concepts: ['puff.slow'] });
    expect(v.facts.filter((f) => f.type === 'judged')).toHaveLength(3);
    expect(v.view.step?.id).toBe('after');
  });

  test('asks for the missing part only, and teaches it when asking was in vain', async () => {
    await visitAtFirstStep()
      .hears('one', { ...all, 'puff.slow': 'partial:part' })
      .untilListening()
      .expectsSaid('Ask part puff.slow?')
      .expectsNotSaid('Again one puff.slow.')
      .hears('two', { 'puff.slow': 'partial:part' })
      .untilListening()
      .expectsSaid('Again two puff.slow.');
  });

  test('a helpful concept is credited when it comes and never asked for', async () => {
    const v = await visitAtFirstStep()
      .hears('one', missing)
      .hears('two', { 'puff.seal': 'understood', 'puff.slow': 'understood', 'puff.upright': 'understood' })
      .reaches('explain')
      .expectsNotSaid('Again one puff.upright.', 'Ask puff.upright?');
    expect(v.world.judgedWith.at(-1)?.concepts).toEqual(['puff.seal', 'puff.slow', 'puff.upright']);
    const judged = v.facts.filter((f) => f.type === 'judged');
    expect(judged[1]?.findings.map((f) => f.concept)).toEqual(['puff.seal', 'puff.slow', 'puff.upright']);
  });

  test('a wrong belief about a helpful concept is put right, and the step is done', async () => {
    await visitAtFirstStep()
      .hears('one', { ...all, 'puff.upright': 'misconception:opposite' })
      .reaches('explain')
      .expectsSaid('Correct puff.upright.')
      .expectsNotSaid('Again one puff.upright.');
  });

  test('a judge that fails hands the step to a person in place of blaming the learner', async () => {
    const broken = visitAtFirstStep();
    broken.world.judging = 'fails';
    const v = await broken.hears('one').reaches('handover');
    const judged = v.facts.find((f) => f.type === 'judged');
    expect(judged?.findings[0]).toMatchObject({ confidence: 0, label: 'missed' });
    expect(judged?.findings[0]?.reason).toContain('the judge broke');
  });

  test('a judge that hangs hands over too', async () => {
    const v = visitAtFirstStep();
    v.world.judging = 'hangs';
    await v.hears('one').reaches('handover');
  });
});

describe('saying back what was heard', () => {
  test('a sure hearing is said and goes on', async () => {
    const v = await visitAtFirstStep()
      .hears('shake it', all)
      .reaches('explain')
      .expectsSaid('iHeard shake it.');
    expect(v.facts.find((f) => f.type === 'heard')).toMatchObject({ confirmed: null, mode: 'voice' });
    const { heard } = v.world.judgedWith[0]!;
    expect([heard.alternatives.length, heard.words?.length]).toEqual([1, 2]);
  });

  test('an unsure hearing is asked about; yes goes on', async () => {
    const v = await visitAtFirstStep()
      .hears('shape it', all, 0.4)
      .expects('confirm')
      .hears('yes', all)
      .reaches('explain')
      .expectsSaid('isThatRight');
    expect(v.facts.filter((f) => f.type === 'heard')).toMatchObject([{ confirmed: true }]);
    // What was confirmed is judged as it stands, and kept as it was heard.
    const { heard } = v.world.judgedWith.at(-1)!;
    expect(heard).toMatchObject({ text: 'shape it', confidence: 1, alternatives: [] });
    expect(heard.words).toBeUndefined();
    expect(v.facts.find((f) => f.type === 'heard')?.heard.words).toHaveLength(2);
  });

  test('a point that hangs on a poorly heard word is asked about before it is judged; yes settles it', async () => {
    const visit = visitAtFirstStep();
    visit.world.doubts = ['puff.slow'];
    const v = await visit
      .hears('breathe in sow', all)
      .expects('confirm')
      .hears('yes', all)
      .reaches('explain')
      .expectsSaid('isThatRight');
    expect(v.facts.filter((f) => f.type === 'heard')).toMatchObject([{ confirmed: true }]);
    expect(v.facts.filter((f) => f.type === 'judged')).toHaveLength(1);
    expect(v.view.step?.id).toBe('after');
  });

  test('a doubt about a helpful point is not worth asking about', async () => {
    const visit = visitAtFirstStep();
    visit.world.doubts = ['puff.upright'];
    await visit
      .hears('one', missing)
      .hears('two', { 'puff.seal': 'understood', 'puff.slow': 'understood' })
      .reaches('explain');
  });

  test('no costs no try; twice no leads to the cards', async () => {
    const v = await visitAtFirstStep()
      .hears('shape it', all, 0.4)
      .presses('NO')
      .untilListening()
      .expectsSaid('sayItAgain')
      .hears('shape it', all, 0.4)
      .hears('no')
      .reaches('cards')
      .waits(100)
      .expectsSaid('useCards');
    expect(v.view.attempt).toBe(1);
    expect(v.facts.filter((f) => f.type === 'heard')).toMatchObject([
      { confirmed: false },
      { confirmed: false },
    ]);
  });

  test('neither yes nor no is asked once more and then goes on unconfirmed', async () => {
    const v = await visitAtFirstStep()
      .hears('shape it', all, 0.4)
      .hears('maybe so', all)
      .untilListening()
      .expectsSaid('yesOrNo')
      .hears('maybe so', all)
      .reaches('explain');
    expect(v.facts.find((f) => f.type === 'heard')).toMatchObject({ confirmed: null });
  });

  test('saying that it was taken down badly, while it is said back, asks again without costing a try', async () => {
    const v = await visitAtFirstStep()
      .begins('shape it')
      .presses('DONE')
      .waits(50)
      .expects('think')
      .presses('NO')
      .untilListening();
    expect(v.facts.at(-2)).toMatchObject({ type: 'not-heard', reason: 'said-not-right' });
    expect(v.view.attempt).toBe(1);
  });
});

describe('buttons and commands', () => {
  test('next while explaining skips to the question', async () => {
    await visitAtFirstStep()
      .presses('GO_ON')
      .untilListening()
      .expectsSaid('Question puff?')
      .expectsNotSaid('Teach puff two with the blue one.');
  });

  test('again repeats the question; again once more explains again', async () => {
    const v = await visitAtFirstStep()
      .untilListening()
      .forgetsWhatWasSaid()
      .hears('again')
      .untilListening()
      .expectsSaid('Question puff?')
      .expectsNotSaid('Teach puff one.')
      .presses('AGAIN')
      .untilListening()
      .expectsSaid('Teach puff one.');
    expect(v.facts).toContainEqual({ type: 'explained', step: 'puff', wording: 'repeat' });
  });

  test('again while explaining starts the explanation over', async () => {
    await visitAtFirstStep()
      .waits(250)
      .forgetsWhatWasSaid()
      .presses('AGAIN')
      .waits(50)
      .expectsSaid('stepCount 1 2');
  });

  test('slower, said aloud, lasts for the rest of the visit', async () => {
    const v = await visitAtFirstStep().hears('slower').hears('shake', all).reaches('explain').waits(100);
    expect(v.view.rate).toBe(0.75);
    expect(v.world.speaks.at(-1)?.rate).toBe(0.75);
  });

  test('"next" in place of an answer asks for own words, then offers the cards', async () => {
    await visitAtFirstStep()
      .hears('next')
      .untilListening()
      .expectsSaid('ownWordsPlease')
      .hears('next')
      .reaches('cards');
  });

  test('cards take the path of an answer, with touch as the mode', async () => {
    const v = await visitAtFirstStep()
      .presses('USE_CARDS')
      .reaches('cards')
      .taps(
        { concept: 'puff.shake', text: 'Shake it' },
        { concept: 'puff.seal', text: 'Leave a gap', contradiction: 'opposite' },
      )
      .reaches('respond')
      .reaches('cards')
      .expectsSaid('Correct puff.seal.');
    expect(v.facts.find((f) => f.type === 'heard')).toMatchObject({
      mode: 'touch',
      heard: { text: 'Shake it Leave a gap', engine: 'touch' },
    });
    expect(v.view.asked).toEqual(['puff.seal', 'puff.slow']);
    expect(v.view.attempt).toBe(2);
  });

  test('no card chosen is an answer too, and leads to teaching again', async () => {
    const v = await visitAtFirstStep()
      .presses('USE_CARDS')
      .reaches('cards')
      .taps()
      .reaches('respond')
      .reaches('cards')
      .expectsSaid('Again one puff.shake.');
    expect(v.view.attempt).toBe(2);
  });

  test('typing takes the path of an answer, also from the cards', async () => {
    const v = await visitAtFirstStep()
      .presses('USE_CARDS')
      .reaches('cards')
      .types('shake it', all)
      .reaches('explain');
    expect(v.facts.find((f) => f.type === 'heard')).toMatchObject({ mode: 'typed' });
    expect(v.world.requests).toHaveLength(2);
  });

  test('typed commands work without opening the ear', async () => {
    const v = await visitAtFirstStep()
      .presses('USE_CARDS')
      .reaches('cards')
      .types('again')
      .waits(1000)
      .expects('cards');
    expect(v.world.requests).toHaveLength(2);
  });
});

describe('answering before the question has been said to its end', () => {
  test('the big button ends the teaching, and pressed again the question: then the ear opens', async () => {
    const v = await visitAtFirstStep()
      .forgetsWhatWasSaid()
      .presses('GO_ON')
      .waits(50)
      .expects('ask')
      .presses('GO_ON')
      .waits(500)
      .expects('listen')
      .expectsNotSaid('Teach puff two with the blue one.', 'yourTurn')
      .hears('i shake it', all)
      .expects('respond');
    expect(v.world.broken).toEqual([]);
    expect(v.facts.filter(({ type }) => type === 'heard')).toHaveLength(1);
  });
});
