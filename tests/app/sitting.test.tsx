// @vitest-environment happy-dom
import { cleanup, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { Summary } from '../../src/app/learner/Summary';
import { loadCommon } from '../../src/app/lessons';
import { WordsOf } from '../../src/app/shared/words';
import { atRest } from './view';

afterEach(cleanup);

const summary = {
  language: 'en',
  sentences: [],
  well: [],
  person: [],
  rows: [],
  counts: {} as never,
  cautions: [],
};

const { screens } = await loadCommon('en');

function ends(stopped: boolean, more: boolean) {
  const [onNext, onPrint, nothing] = [vi.fn(), vi.fn(), () => {}];
  render(
    <WordsOf value={screens}>
      <Summary
        view={{ ...atRest, screen: 'ended' }}
        send={nothing}
        summary={summary}
        stopped={stopped}
        onNext={more ? onNext : undefined}
        onPrint={onPrint}
        onSave={nothing}
        onClinician={nothing}
        onClose={nothing}
      />
    </WordsOf>,
  );
  return { onNext, onPrint, main: document.querySelector('[data-main]')?.textContent };
}
const next = () => screen.queryByRole('button', { name: 'Next lesson' });

describe('the end of a lesson', () => {
  it('goes on with the next one by the big button, when one is to come', async () => {
    const { onNext, onPrint, main } = ends(false, true);
    expect(main).toBe('Next lesson');
    expect(screen.getByRole('heading', { level: 1 }).textContent).toBe('This lesson is done');
    await userEvent.click(next()!);
    expect(onNext).toHaveBeenCalledOnce();
    await userEvent.click(screen.getByRole('button', { name: 'Print handout' }));
    expect(onPrint).toHaveBeenCalledOnce();
  });

  it('leaves it to staff when the lesson was stopped', async () => {
    const { onNext, main } = ends(true, true);
    expect(main).toBe('Print handout');
    expect(next()!.closest('[data-for-staff]')).toBeTruthy();
    await userEvent.click(next()!);
    expect(onNext).toHaveBeenCalledOnce();
  });

  it('has the handout as its main thing when nothing is to come', () => {
    expect(ends(false, false).main).toBe('Print handout');
    expect(next()).toBeNull();
  });
});
