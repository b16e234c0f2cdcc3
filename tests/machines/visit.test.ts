import { describe, expect, test } from 'vitest';
import { visitAtFirstStep } from './harness';

const all = { 'puff.shake': 'understood', 'puff.seal': 'understood', 'puff.slow': 'understood' } as const;

describe('a whole visit', () => {
  test('teaches again only what was missed, puts the misconception right, and ends with a summary', async () => {
    const v = await visitAtFirstStep()
      .expectsSaid('welcome', 'practiceNote', 'soundCheck', 'soundCheckFine', 'questionsFirst')
      .untilListening()
      .expectsSaid('Teach puff two with the blue one.', 'Question puff?', 'yourTurn')
      .hears('shake it, breathe in fast', {
        'puff.shake': 'understood',
        'puff.slow': 'misconception:opposite',
      })
      .reaches('respond')
      .untilListening()
      .expectsSaid(
        'iHeard shake it, breathe in fast.',
        'creditLead',
        'Correct puff.slow.',
        'Again one puff.slow.',
        'Again one puff.seal.',
        'Ask puff.slow?',
        'Ask puff.seal?',
      )
      .expectsNotSaid('Again one puff.shake.', 'Ask puff.shake?', 'Again one puff.upright.')
      .hears('slowly, lips closed', { 'puff.slow': 'understood', 'puff.seal': 'understood' })
      .reaches('explain')
      .expectsSaid('praise2')
      .hears('rinse', { 'after.rinse': 'understood' })
      .reaches('show-me')
      .sends({ type: 'SHOWN', point: 'shakes', shown: true })
      .presses('GO_ON')
      .reaches('summary')
      .hears('no')
      .reaches('ended');
    expect(v.world.broken).toEqual([]);
    expect(v.world.stored).toEqual(v.facts);
    expect(v.facts.map((f) => f.type)).toMatchInlineSnapshot(`
      [
        "visit-started",
        "engine-chosen",
        "sound-checked",
        "step-started",
        "explained",
        "asked",
        "heard",
        "judged",
        "retaught",
        "asked",
        "heard",
        "judged",
        "step-finished",
        "step-started",
        "explained",
        "asked",
        "heard",
        "judged",
        "step-finished",
        "show-me",
        "finished",
      ]
    `);
    expect(v.world.requests.map((r) => r.kind)).toEqual([
      'yes-no',
      'yes-no',
      'answer',
      'answer',
      'answer',
      'yes-no',
    ]);
  });

  test('finishes once, though help is called at the end and the visit is then stopped', async () => {
    const v = await visitAtFirstStep()
      .presses('STOP')
      .reaches('paused')
      .presses('STOP')
      .reaches('ended')
      .presses('HELP')
      .reaches('help')
      .presses('HELP_OVER')
      .presses('STOP')
      .reaches('paused')
      .presses('STOP')
      .reaches('ended');
    expect(v.facts.filter((f) => f.type === 'finished')).toHaveLength(1);
  });

  test('asks for one missing part alone, with a short turn', async () => {
    const v = await visitAtFirstStep()
      .hears('shake, seal', { ...all, 'puff.slow': 'partial:part' })
      .untilListening()
      .expectsSaid('onePartMore', 'Ask part puff.slow?')
      .expectsNotSaid('Again one puff.slow.', 'Ask puff.slow?', 'teachAgainLead');
    expect(v.world.requests.at(-1)).toMatchObject({ kind: 'short', concepts: ['puff.slow'] });
  });
});
