import { describe, expect, test } from 'vitest';
import { trouble } from '../../machines/script';
import { endReasons } from '../../src/hearing/types';
import { endsByTouch, nextTouch } from './byTouch';
import { VisitHarness, visit, visitAtFirstStep } from './harness';
import { lesson, start } from './lesson';

const all = { 'puff.shake': 'understood', 'puff.seal': 'understood', 'puff.slow': 'understood' } as const;

describe('help', () => {
  test('words of distress in the middle of listening interrupt everything and call staff', async () => {
    const v = await visitAtFirstStep()
      .begins('wait i cannot breathe')
      .waits(10)
      .expects('help')
      .waits(200)
      .expectsSaid('distressHelp');
    expect(v.view.help).toBe('distress');
    expect(v.world.earsOpen).toBe(0);
    expect(v.world.calls).toEqual([{ by: 'distress', text: 'wait i cannot breathe' }]);
    expect(v.facts.at(-1)).toEqual({ type: 'help-called', by: 'distress', text: 'wait i cannot breathe' });
  });

  test('typed words of distress do so too', async () => {
    const v = await visitAtFirstStep()
      .presses('USE_CARDS')
      .reaches('cards')
      .types('i cannot breathe')
      .waits(10)
      .expects('help');
    expect(v.world.calls).toHaveLength(1);
  });

  test("words of distress count in the learner's question and in the sound check as well", async () => {
    await visitAtFirstStep().presses('ASK').hears('i cannot breathe').expects('help');
    await visit().starts().hears('i cannot breathe').expects('help');
  });

  test('a person who asks for help leaves the step, and comes back to the same question', async () => {
    const v = await visitAtFirstStep()
      .hears('one', { 'puff.shake': 'understood' })
      .untilListening()
      .hears('help')
      .expects('help')
      .waits(200)
      .presses('GO_ON')
      .expects('help')
      .presses('STOP')
      .expects('help')
      .presses('HELP_OVER')
      .untilListening()
      .expectsSaid('helpComing', 'helpOver');
    expect(v.view).toMatchObject({ attempt: 2, asked: ['puff.seal', 'puff.slow'], help: null });
  });

  test('help works from the end as well, and the visit stays ended', async () => {
    const v = new VisitHarness();
    v.actor.start();
    await endsByTouch(v);
    v.actor.send({ type: 'HELP' });
    expect(v.view.screen).toBe('help');
    v.actor.send({ type: 'HELP_OVER' });
    await v.world.pass(1000);
    expect(v.view.screen).toBe('ended');
    expect(v.facts.filter((f) => f.type === 'finished')).toHaveLength(1);
  });
});

describe('pause and stop', () => {
  test('a pause closes the ear, and going on comes back to the question', async () => {
    const v = await visitAtFirstStep().begins('shake').presses('PAUSE').expects('paused');
    expect(v.world.earsOpen).toBe(0);
    const w = await visitAtFirstStep()
      .untilListening()
      .presses('PAUSE')
      .waits(60_000)
      .presses('GO_ON')
      .untilListening();
    expect(w.facts.map((f) => f.type)).toEqual(expect.arrayContaining(['paused', 'resumed']));
    expect(w.world.broken).toEqual([]);
  });

  test('the first stop pauses, the second one ends the visit', async () => {
    const v = await visitAtFirstStep()
      .hears('stop')
      .expects('paused')
      .presses('STOP')
      .reaches('ended')
      .waits(300)
      .expectsSaid('stopped');
    expect(v.facts.at(-1)).toEqual({ type: 'finished', how: 'stopped' });
  });

  test('who goes by ear alone can say "go on"', async () => {
    const v = await visit({ start: { audioOnly: true } })
      .starts()
      .presses('PAUSE')
      .expects('paused')
      .hears('next')
      .expects('sound-check')
      .expectsSaid('canSayPaused');
    expect(v.world.broken).toEqual([]);
  });
});

describe('questions', () => {
  test('an approved answer is said, with the numbers of this visit', async () => {
    const v = await visitAtFirstStep()
      .hears('question')
      .expects('question')
      .hears('how to wash it')
      .expects('answer')
      .untilListening()
      .expectsSaid('Answer wash, or call 555-0100.');
    expect(v.facts).toContainEqual({ type: 'question', text: 'how to wash it', answer: 'wash' });
    expect(v.view.step?.id).toBe('puff');
  });

  test('anything else is kept for a person', async () => {
    const v = await visitAtFirstStep()
      .presses('ASK')
      .hears('may i fly')
      .untilListening()
      .expectsSaid('questionKept');
    expect(v.facts).toContainEqual({ type: 'question', text: 'may i fly', answer: null });
  });

  test('a question before the start and one after the summary', async () => {
    await visit()
      .starts()
      .hears('yes')
      .hears('yes')
      .expects('question')
      .hears('may i fly')
      .untilListening()
      .expects('sound-check');
    const v = visit();
    v.actor.start();
    for (let i = 0; i < 80 && v.view.screen !== 'summary'; i++) {
      const touch = nextTouch(v.view);
      if (touch !== null) v.actor.send(touch);
      await v.world.pass(300);
    }
    v.actor.send({ type: 'GO_ON' });
    v.actor.send({ type: 'YES' });
    expect(v.view.screen).toBe('question');
    v.actor.send({ type: 'TYPE', text: 'how to wash it' });
    await v.world.pass(1000);
    expect(v.facts).toContainEqual({ type: 'question', text: 'how to wash it', answer: 'wash' });
    await endsByTouch(v);
  });
});

describe('trouble with listening', () => {
  test.each(endReasons.filter((r) => r !== 'finished'))(
    '%s: says what is wrong and what to do now, and the visit is finished by touch',
    async (reason) => {
      const harness = visit();
      harness.world.ear = reason;
      const v = await harness.starts().reaches('trouble').waits(500);
      expect(v.view.trouble).toBe(reason);
      expect(v.world.said).toContain('troubleNext');
      expect(v.world.said.at(-2)).not.toBe('');
      await endsByTouch(v as VisitHarness);
      expect(v.facts.filter((f) => f.type === 'heard').every((f) => f.mode === 'touch')).toBe(true);
      expect(v.facts.at(-1)).toEqual({ type: 'finished', how: 'completed' });
      expect(v.facts.find((f) => f.type === 'not-heard')).toMatchObject({ reason });
    },
  );

  test('trying again by voice works from the trouble', async () => {
    const harness = visitAtFirstStep();
    const v = await harness
      .does(() => {
        harness.world.ear = 'no-device';
      })
      .reaches('trouble')
      .does(() => {
        harness.world.ear = 'works';
      })
      .presses('USE_VOICE')
      .hears('shake', all)
      .reaches('explain');
    expect(v.view.mode).toBe('voice');
    expect(v.view.trouble).toBe(null);
  });

  test('nothing heard is asked again once, kindly, before it is trouble', async () => {
    const v = await visitAtFirstStep()
      .untilListening()
      .waits(12_000)
      .untilListening()
      .expectsSaid('didNotHear')
      .waits(12_000)
      .expects('trouble');
    expect(v.view).toMatchObject({ trouble: 'nothing-heard', attempt: 1 });
  });

  test('every reason has a sentence of its own or shares one on purpose', async () => {
    const first = endReasons.map((r) => trouble({ lesson, start }, r)[0]);
    expect(new Set(first).size).toBe(endReasons.length - 1);
    expect(first).not.toContain(undefined);
  });

  test('after the sound check fails by voice the steps go on by cards without opening the ear', async () => {
    const harness = visit();
    harness.world.ear = 'denied';
    const v = await harness
      .starts()
      .reaches('trouble')
      .presses('USE_CARDS')
      .presses('NO')
      .reaches('explain')
      .reaches('cards');
    expect(v.world.requests).toHaveLength(1);
  });
});

describe('sound check', () => {
  test('nothing heard asks again without the whole welcome', async () => {
    await visit()
      .starts()
      .untilListening()
      .forgetsWhatWasSaid()
      .waits(12_000)
      .untilListening()
      .expectsSaid('soundCheckAgain')
      .expectsNotSaid('welcome', 'didNotHear');
  });

  test('"no" makes the voice louder and slower and asks again', async () => {
    const v = await visit()
      .starts()
      .hears('no')
      .untilListening()
      .expectsSaid('soundCheckLouder')
      .hears('yes')
      .reaches('sound-check');
    expect(v.view).toMatchObject({ rate: 0.75, volume: 1 });
    expect(v.facts).toContainEqual({ type: 'sound-checked', ok: true, detail: 'yes; volume 1, rate 0.75' });
  });

  test('the ear and the voice in use are noted once', async () => {
    const v = await visitAtFirstStep().hears('one', all).reaches('explain');
    expect(v.facts.filter((f) => f.type === 'engine-chosen')).toEqual([
      { type: 'engine-chosen', ear: 'embedded', voice: 'embedded', why: 'in use' },
    ]);
    expect(v.view.ear).toBe('embedded');
  });

  test('a change of voice is noted again, with the reason', async () => {
    const harness = visitAtFirstStep();
    const v = await harness
      .does(() => {
        harness.world.voice = 'fails';
      })
      .presses('AGAIN')
      .waits(10_000);
    expect(v.facts.filter((f) => f.type === 'engine-chosen').at(-1)).toMatchObject({
      voice: 'none',
      why: 'failed',
    });
  });
});

describe('storing', () => {
  test('the screen confirms nothing before the answer is stored', async () => {
    const harness = visitAtFirstStep();
    const v = await harness
      .untilListening()
      .does(() => {
        harness.world.store = 'hangs';
      })
      .begins('shake it')
      .presses('DONE')
      .waits(3000)
      .expects('think');
    expect(v.world.said).not.toContain('iHeard shake it.');
    await v.world.pass(1500);
    expect(v.world.said).toContain('iHeard shake it.');
    expect(v.view.unsaved).toBeGreaterThan(0);
  });

  test('a store that fails is shown, does not hold up the visit, and gets everything once it works', async () => {
    const harness = visitAtFirstStep();
    const v = await harness
      .does(() => {
        harness.world.store = 'fails';
      })
      .hears('one', all)
      .reaches('explain');
    expect(v.view.unsaved).toBeGreaterThan(2);
    v.world.store = 'works';
    await v.world.pass(5000);
    expect(v.view.unsaved).toBe(0);
    expect(v.world.stored).toEqual(v.facts);
  });
});
