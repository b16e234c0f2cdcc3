import { describe, expect, test } from 'vitest';
import { visit, visitAtFirstStep } from './harness';

describe('what a screen is given', () => {
  test('the step with its picture, and how far the visit is', async () => {
    const v = await visitAtFirstStep();
    expect(v.view.step).toEqual({
      id: 'puff',
      title: 'The puff',
      picture: 'puff.svg',
      pictureText: 'A puff',
      index: 0,
      count: 2,
    });
    expect(v.view).toMatchObject({ attempt: 1, attempts: 3, rate: 1, mode: 'voice', unsaved: 0 });
  });

  test('captions, and which of them sounds', async () => {
    const v = await visitAtFirstStep().waits(150);
    expect(v.view.captions).toEqual([
      'stepCount 1 2',
      'stepLead The puff',
      'Teach puff one.',
      'Teach puff two with the blue one.',
    ]);
    expect(v.view.speaking).toBe(1);
  });

  test('the question stays shown while listening, and none of it sounds', async () => {
    const v = await visitAtFirstStep().untilListening();
    expect(v.view).toMatchObject({
      screen: 'listen',
      captions: ['Question puff?', 'yourTurn'],
      speaking: -1,
      expects: 'answer',
      asked: ['puff.shake', 'puff.seal', 'puff.slow', 'puff.upright'],
    });
  });

  test('loudness, words so far, and the pace of listening', async () => {
    const harness = visitAtFirstStep();
    const v = await harness.begins('shake it').does(() => {
      harness.world.hear?.({ type: 'level', dbfs: -23 });
    });
    expect(v.view).toMatchObject({ listening: 'hearing', level: -23, interim: 'shake it' });
    v.world.hear?.({ type: 'speech-end' });
    expect(v.view.listening).toBe('pausing');
    await v.world.pass(3100);
    expect(v.view).toMatchObject({ listening: 'take-your-time', note: 'takeYourTime' });
    expect(v.world.said).not.toContain('takeYourTime');
  });

  test('what was heard, and what was found in it', async () => {
    const v = await visitAtFirstStep().hears('shake it', { 'puff.shake': 'understood' }).reaches('respond');
    expect(v.view.heard?.text).toBe('shake it');
    expect(v.view.findings).toContainEqual(
      expect.objectContaining({ concept: 'puff.shake', label: 'understood' }),
    );
  });

  test('an unsure hearing is shown with a yes-no question', async () => {
    const v = await visitAtFirstStep().hears('shape it', {}, 0.4).waits(100);
    expect(v.view).toMatchObject({
      screen: 'confirm',
      expects: 'yes-no',
      listening: 'off',
      heard: { text: 'shape it' },
    });
  });

  test('a screen that waits shows its words and is silent', async () => {
    const v = await visitAtFirstStep().presses('PAUSE').waits(1000);
    expect(v.view).toMatchObject({ screen: 'paused', captions: ['paused'], speaking: -1, listening: 'off' });
  });

  test('show-me points as ticked', async () => {
    const v = await visit({ start: { steps: [] } })
      .starts()
      .presses('GO_ON')
      .presses('GO_ON')
      .reaches('show-me')
      .sends({ type: 'SHOWN', point: 'shakes', shown: true })
      .sends({ type: 'SHOWN', point: 'seals', shown: false });
    expect(v.view.shown).toEqual({ shakes: true, seals: false });
    expect(v.view.step).toBe(null);
  });
});
