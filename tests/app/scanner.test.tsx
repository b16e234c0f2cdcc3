// @vitest-environment happy-dom
import { act, cleanup, render, screen } from '@testing-library/react';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Scanner } from '../../src/app/learner/Scanner';
import { calledName } from '../../src/app/learner/scanned';
import { useSpaceBar } from '../../src/app/learner/spaceBar';

const each = 1000;
const settles = 800;
let pressed: string[];

function Page({
  keys = 'one',
  name = null,
  held = false,
  rate = 1,
  more = false,
}: {
  keys?: 'one' | 'two';
  name?: ((text: string) => Promise<void>) | null;
  held?: boolean;
  rate?: number;
  more?: boolean;
}) {
  useSpaceBar();
  const button = (text: string, forStaff = false) => (
    <button type="button" data-for-staff={forStaff || undefined} onClick={() => pressed.push(text)}>
      {text}
    </button>
  );
  return (
    <main>
      <Scanner switches={{ keys, each }} settles={settles} name={name} held={held} rate={rate} />
      <button type="button" data-turn="last" aria-label="Darker" />
      <button type="button" data-turn="first" onClick={() => pressed.push('Help')}>
        Help
      </button>
      <input aria-label="type" />
      {button('Save', true)}
      <div data-main>{button('Go on')}</div>
      {more && button('Again')}
      <button type="button" disabled>
        Not now
      </button>
    </main>
  );
}

beforeEach(() => {
  pressed = [];
  vi.useFakeTimers();
});
afterEach(() => {
  cleanup();
  vi.useRealTimers();
});

const wait = (ms: number) => act(() => vi.advanceTimersByTimeAsync(ms));
const pointed = () => {
  const thing = document.querySelector<HTMLElement>('[data-scanned]');
  return thing && calledName(thing);
};
const key = (name: string, target: Element = document.activeElement ?? document.body) =>
  act(async () => {
    for (const type of ['keydown', 'keyup'])
      target.dispatchEvent(new KeyboardEvent(type, { key: name, bubbles: true, cancelable: true }));
  });

describe('the pointer of a switch', () => {
  it("goes by the learner's buttons in reading order, help first, with the focus, and leaves out what cannot be pressed", async () => {
    render(<Page more />);
    const seen: (string | null)[] = [];
    await wait(settles);
    for (let i = 0; i < 5; i++) {
      seen.push(pointed());
      expect(document.activeElement?.hasAttribute('data-scanned')).toBe(true);
      await wait(each);
    }
    expect(seen).toEqual(['Help', 'Go on', 'Again', 'Darker', 'Help']);
  });

  it.each([' ', 'Enter'])('%j presses what is pointed at, once, and nothing else', async (name) => {
    render(<Page />);
    await wait(settles + each);
    await key(name);
    expect(pressed).toEqual(['Go on']);
  });

  it('with two switches the space bar goes on and Enter presses', async () => {
    render(<Page keys="two" more />);
    await wait(settles + each * 5);
    expect(pointed()).toBe('Help');
    await key(' ');
    await key(' ');
    expect(pointed()).toBe('Again');
    await key('Enter');
    expect(pressed).toEqual(['Again']);
  });

  it('leaves the keys to who types', async () => {
    render(<Page />);
    await wait(settles);
    const space = new KeyboardEvent('keydown', { key: ' ', bubbles: true, cancelable: true });
    screen.getByLabelText('type').dispatchEvent(space);
    expect(space.defaultPrevented).toBe(false);
    expect(pressed).toEqual([]);
  });

  it('waits for what comes new before it points, and goes on where it was otherwise', async () => {
    const { rerender } = render(<Page />);
    await wait(settles + each);
    rerender(<Page more />);
    await wait(0);
    expect(pointed()).toBe('Go on');
    await wait(each);
    expect(pointed()).toBe('Again');
    rerender(<Page />);
    await wait(0);
    expect(pointed()).toBe(null);
    await wait(settles);
    expect(pointed()).toBe('Help');
  });

  it('takes more time for who wants the voice slower', async () => {
    render(<Page rate={0.5} />);
    await wait(settles + each);
    expect(pointed()).toBe('Help');
    await wait(each);
    expect(pointed()).toBe('Go on');
  });

  it('leaves no trace and no key taken when it goes', async () => {
    const { unmount } = render(<Page />);
    await wait(settles);
    unmount();
    const space = new KeyboardEvent('keydown', { key: ' ', bubbles: true, cancelable: true });
    document.body.dispatchEvent(space);
    expect(space.defaultPrevented).toBe(false);
  });
});

describe('the pointer of a switch, by ear', () => {
  it('says each name, and its time begins when it has been said', async () => {
    const said: string[] = [];
    let end = () => {};
    const name = (text: string) => {
      said.push(text);
      return new Promise<void>((done) => {
        end = done;
      });
    };
    render(<Page name={name} />);
    await wait(settles + each * 3);
    expect(said).toEqual(['Help']);
    end();
    await wait(each);
    expect(said).toEqual(['Help', 'Go on']);
    await key(' ');
    expect(pressed).toEqual(['Go on']);
  });

  it('while the kiosk speaks or listens points at nothing, and a press is the one big button', async () => {
    const name = vi.fn(async () => {});
    const { rerender } = render(<Page name={name} held />);
    await wait(settles + each * 5);
    expect(pointed()).toBe(null);
    expect(name).not.toHaveBeenCalled();
    await key(' ', document.body);
    expect(pressed).toEqual(['Go on']);
    rerender(<Page name={name} />);
    await wait(settles);
    expect(pointed()).toBe('Help');
  });
});
