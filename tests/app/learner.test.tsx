// @vitest-environment happy-dom
import { cleanup, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it, vi } from 'vitest';
import type { Card, PersonEvent, VisitView } from '../../machines/types';
import { Learner } from '../../src/app/learner/Learner';
import { loadCommon } from '../../src/app/lessons';
import { setLight } from '../../src/app/shared/light';
import { WordsOf } from '../../src/app/shared/words';
import { atRest, openScreens } from './view';

afterEach(cleanup);

const { screens: words } = await loadCommon('en');

const cards: Card[] = [
  { concept: 'a', text: 'I breathe out first.' },
  { concept: 'a', text: 'I breathe in first.', contradiction: 'in-first' },
];

function shows(change: Partial<VisitView>, offered = cards, inOrder = false) {
  const send = vi.fn<(event: PersonEvent) => void>();
  const view = { ...atRest, ...change };
  render(
    <WordsOf value={words}>
      <Learner
        view={view}
        send={send}
        cards={offered}
        inOrder={inOrder}
        points={[{ id: 'shake', text: 'Shakes the inhaler.' }]}
      />
    </WordsOf>,
  );
  return {
    send,
    frame: () => document.querySelector<HTMLElement>('[data-screen]')!,
    press: (name: string | RegExp) => userEvent.click(screen.getByRole('button', { name })),
  };
}

describe("the learner's screens", () => {
  it.each(openScreens)('%s names itself and offers a call for help', async (name) => {
    const { frame, press, send } = shows({ screen: name });
    expect(frame().dataset.screen).toBe(name);
    await press('Call for help');
    expect(send).toHaveBeenCalledWith({ type: 'HELP' });
  });

  it('shows where we are, the picture, and the sentence that sounds', () => {
    shows({ speaking: 1 });
    expect(screen.getByText(/Step 3 of 7/)).toBeTruthy();
    expect(screen.getByAltText('Picture: A person breathes out.')).toBeTruthy();
    expect(screen.getByText('Breathe out.').getAttribute('aria-live')).toBe('polite');
  });

  it('takes the space bar for the one big button, wherever the focus was left', async () => {
    const { send } = shows({ screen: 'show-me' });
    await userEvent.keyboard(' ');
    expect(send.mock.calls).toEqual([[{ type: 'GO_ON' }]]);
  });

  it('lets the learner begin to answer while the question is being said, by the space bar or the big button', async () => {
    const { send, press } = shows({ screen: 'ask', speaking: 0, expects: 'answer', asked: ['a'] });
    await userEvent.keyboard(' ');
    await press(words.answerNow);
    expect(send.mock.calls).toEqual([[{ type: 'GO_ON' }], [{ type: 'GO_ON' }]]);
  });

  it('does not choose between two answers by the space bar, nor press what has not the focus', async () => {
    const { send } = shows({ screen: 'confirm', expects: 'yes-no' });
    await userEvent.keyboard(' ');
    expect(send).not.toHaveBeenCalled();
    screen.getByRole('button', { name: 'Call for help' }).focus();
    await userEvent.keyboard(' ');
    expect(send.mock.calls).toEqual([[{ type: 'HELP' }]]);
  });

  it('keeps the question in sight while it listens, says so, and always has Done', async () => {
    const { press, send } = shows({
      screen: 'listen',
      listening: 'waiting',
      question: 'How will you take one puff?',
      asked: ['a'],
      expects: 'answer',
    });
    expect(screen.getByText('How will you take one puff?')).toBeTruthy();
    expect(screen.getByText('I am listening')).toBeTruthy();
    await press('I am done');
    expect(send).toHaveBeenCalledWith({ type: 'DONE' });
  });

  it('shows what was heard so far', () => {
    shows({ screen: 'listen', listening: 'hearing', interim: 'i breathe out' });
    expect(document.querySelector('[data-heard]')?.textContent).toBe('i breathe out');
  });

  it('answers a yes-no question by two buttons, also before the question has been said to its end', async () => {
    const { press, send } = shows({ screen: 'sound-check', speaking: 0, expects: 'yes-no' });
    await press('Yes');
    await press('No');
    expect(send.mock.calls.map(([event]) => event.type)).toEqual(['YES', 'NO']);
  });

  it('asks by two buttons whether the voice may leave the device, and offers nothing else as an answer', async () => {
    const { press, send, frame } = shows({ screen: 'cloud', expects: 'yes-no', mode: 'cards' });
    expect(frame().dataset.listening).toBe('off');
    expect(screen.queryByText('I am listening')).toBeNull();
    expect(screen.queryByRole('img')).toBeNull();
    const names = screen
      .getAllByRole('button')
      .map((button) => button.getAttribute('aria-label') ?? button.textContent);
    expect(names).toEqual(['Dark screen', 'Call for help', 'Yes', 'No', 'Again', 'Slower', 'Louder']);
    await press('Yes');
    await press('No');
    expect(send.mock.calls.map(([event]) => event.type)).toEqual(['YES', 'NO']);
  });

  it('says back what was heard and asks whether it is right', async () => {
    const { press, send } = shows({
      screen: 'confirm',
      heard: { text: 'shake the inn hailer', confidence: 0.4, alternatives: [], engine: 'embedded' },
    });
    expect(screen.getByText('shake the inn hailer')).toBeTruthy();
    await press('No');
    expect(send).toHaveBeenCalledWith({ type: 'NO' });
  });

  it('in trouble offers touch, the voice again, and help', async () => {
    const { press, send } = shows({ screen: 'trouble', trouble: 'denied' });
    await press('Answer by touch');
    await press('Answer by voice');
    expect(send.mock.calls.map(([event]) => event.type)).toEqual(['USE_CARDS', 'USE_VOICE']);
  });

  it.each([
    [false, 'USE_CARDS'],
    [true, 'USE_VOICE'],
  ])(
    'in trouble the space bar does what the voice tells of the big button (by ear: %s)',
    async (byEar, type) => {
      const { send } = shows({ screen: 'trouble', trouble: 'network', byEar });
      await userEvent.keyboard(' ');
      expect(send).toHaveBeenCalledExactlyOnceWith({ type });
    },
  );

  it('takes an answer by cards: only what is chosen, and not before something is', async () => {
    const { press, send } = shows({ screen: 'cards', asked: ['a'] });
    expect(screen.getByRole<HTMLButtonElement>('button', { name: 'That is my answer' }).disabled).toBe(true);
    await press('I breathe in first.');
    await press('I breathe in first.');
    await press('I breathe out first.');
    await press('That is my answer');
    expect(send).toHaveBeenCalledExactlyOnceWith({ type: 'CARDS', chosen: [cards[0]] });
  });

  it('asks for the order of what was chosen where the order matters, and numbers it', async () => {
    const hold: Card = { concept: 'b', text: 'I hold my breath.' };
    const { press, send } = shows({ screen: 'cards', asked: ['a', 'b'] }, [hold, ...cards], true);
    await press('I hold my breath.');
    await press('Go on');
    await press('I breathe out first.');
    await press('I breathe in first.');
    await press('Go on');
    expect(screen.getByText(words.cardsOrder)).toBeTruthy();
    const answer = () => screen.getByRole<HTMLButtonElement>('button', { name: 'That is my answer' });
    await press('I hold my breath.');
    expect(answer().disabled).toBe(true);
    await press('I breathe out first.');
    expect(screen.getByRole('button', { name: /1.*I hold my breath/ })).toBeTruthy();
    expect(screen.getByRole('button', { name: /2.*I breathe out first/ })).toBeTruthy();
    // Touched once more it steps out, and the others move up.
    await press(/I hold my breath/);
    expect(screen.getByRole('button', { name: /1.*I breathe out first/ })).toBeTruthy();
    await press(/I hold my breath/);
    await press('That is my answer');
    expect(send).toHaveBeenCalledExactlyOnceWith({ type: 'CARDS', chosen: [cards[0], hold, cards[1]] });
  });

  it('takes a typed answer, never an empty one', async () => {
    const { send, press } = shows({ screen: 'cards', asked: ['a'] });
    await press('Or type it');
    await userEvent.type(screen.getByRole('textbox'), '   {Enter}');
    expect(send).not.toHaveBeenCalled();
    await userEvent.type(screen.getByRole('textbox'), 'I breathe <b>out</b>{Enter}');
    expect(send).toHaveBeenCalledExactlyOnceWith({ type: 'TYPE', text: 'I breathe <b>out</b>' });
  });

  it('asks by cards for one point after the other, and keeps what was chosen before', async () => {
    const other: Card[] = [
      { concept: 'b', text: 'I hold my breath.' },
      { concept: 'b', text: 'I breathe out at once.', contradiction: 'no-hold' },
    ];
    const { press, send } = shows(
      { screen: 'cards', asked: ['a', 'b'], question: 'I want to be sure. How do you breathe?' },
      [cards[0]!, other[1]!, cards[1]!, other[0]!],
    );
    expect(screen.getByText('How do you breathe?')).toBeTruthy();
    expect(screen.getByText('1 of 2')).toBeTruthy();
    expect(screen.queryByRole('button', { name: 'I hold my breath.' })).toBeNull();
    await press('I breathe out first.');
    await press('Go on');
    expect(screen.getByText('2 of 2')).toBeTruthy();
    await press('Back');
    expect(screen.getByRole('button', { name: 'I breathe out first.' }).getAttribute('aria-pressed')).toBe(
      'true',
    );
    await press('Go on');
    await press('I hold my breath.');
    await press('That is my answer');
    expect(send).toHaveBeenCalledExactlyOnceWith({ type: 'CARDS', chosen: [cards[0], other[0]] });
  });

  it('has a switch for the light of the screen, wherever the learner is', async () => {
    const { press } = shows({ screen: 'explain' });
    await press('Dark screen');
    expect(document.documentElement.dataset.light).toBe('night');
    await press('Bright screen');
    expect(document.documentElement.dataset.light).toBe('day');
    setLight('device');
    expect(document.documentElement.dataset.light).toBeUndefined();
  });

  it('lets the clinician tick what is shown, one point after the other, and take a tick back', async () => {
    const { press, send } = shows({ screen: 'show-me' });
    await press('Shown');
    expect(screen.getByText('That was all of it. Thank you.')).toBeTruthy();
    await press('Back');
    await press('Not yet');
    await press('Finish');
    expect(send.mock.calls.map(([event]) => event)).toEqual([
      { type: 'SHOWN', point: 'shake', shown: true },
      { type: 'SHOWN', point: 'shake', shown: false },
      { type: 'GO_ON' },
    ]);
  });

  it('fills the screen when help is called, and names the bedside button', async () => {
    const { press, send } = shows({ screen: 'help', captions: [] });
    expect(screen.getByText('Press the call button at the bed as well.')).toBeTruthy();
    await press('Help is here');
    expect(send).toHaveBeenCalledWith({ type: 'HELP_OVER' });
  });

  it('says once what to do when help is called: what is said says it too', () => {
    shows({ screen: 'help', captions: ['I have called.', 'Please press the call button.'] });
    expect(document.querySelector('main')!.textContent!.match(/press the call button/gi)).toHaveLength(1);
  });

  it('shows markup in what was heard as plain text', () => {
    shows({
      screen: 'confirm',
      heard: { text: '<img src=x onerror=alert(1)>', confidence: 1, alternatives: [], engine: 'typed' },
    });
    expect(document.querySelector('img[src="x"]')).toBeNull();
    expect(screen.getByText('<img src=x onerror=alert(1)>')).toBeTruthy();
  });
});
