// @vitest-environment happy-dom
import { cleanup, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { loadLesson } from '../../src/app/lessons';
import { readSite } from '../../src/app/site';
import { type LanguagePacks, StartForm } from '../../src/app/staff/StartForm';
import type { VisitStart } from '../../src/records/schema';

afterEach(cleanup);

async function opens(pack?: LanguagePacks) {
  const onStart = vi.fn<(start: VisitStart) => void>();
  const lesson = await loadLesson('inhaler-spacer', 'en');
  render(
    <StartForm
      site={readSite('{}').site}
      lessons={[lesson]}
      ears={async () => 'Hears by the built-in recogniser.'}
      {...(pack ? { pack } : {})}
      onStart={onStart}
      onCancel={() => {}}
    />,
  );
  await userEvent.type(screen.getByLabelText('Name or initials'), ' R. T. ');
  await userEvent.type(screen.getByLabelText('Bed'), '12');
  await userEvent.type(screen.getByLabelText('Your name'), 'J. Moss');
  return { onStart, lesson, start: () => userEvent.click(screen.getByRole('button', { name: 'Start' })) };
}

describe('the start form', () => {
  it('hands over who learns, how, what, and what is particular', async () => {
    const { onStart, lesson, start } = await opens();
    await userEvent.click(screen.getByLabelText('Caregiver'));
    await userEvent.type(screen.getByLabelText('If a caregiver: relation'), 'daughter');
    await userEvent.click(screen.getByLabelText('Hearing'));
    await userEvent.selectOptions(screen.getByLabelText('Learns best by'), 'doing');
    await userEvent.click(screen.getByLabelText('Rinse your mouth'));
    await userEvent.type(screen.getByLabelText('Medicine, as labelled'), 'the blue one');
    await start();
    expect(onStart).toHaveBeenCalledOnce();
    expect(onStart.mock.calls[0]![0]).toMatchObject({
      practice: false,
      ward: 'Harbor 4',
      bed: '12',
      learner: { role: 'caregiver', name: 'R. T.', relation: 'daughter' },
      barriers: ['hearing'],
      prefers: 'doing',
      module: 'inhaler-spacer',
      steps: lesson.module.steps.map((step) => step.id).filter((id) => id !== 'after'),
      particulars: { medicine: 'the blue one', callNumber: '555-0142', emergencyNumber: '911' },
    });
  });

  it('hands over how the screen is worked by who has no speech or no fine hands', async () => {
    const { onStart, start } = await opens();
    await userEvent.click(screen.getByLabelText('Without speech: cards or typing'));
    await userEvent.selectOptions(screen.getByLabelText('Works the screen by'), 'two');
    const seconds = screen.getByLabelText('With one switch: seconds for each button');
    await userEvent.clear(seconds);
    await userEvent.type(seconds, '3.5');
    await start();
    expect(onStart.mock.calls[0]![0]).toMatchObject({
      answers: 'touch',
      switches: { keys: 'two', each: 3500 },
    });
  });

  it('says nothing of switches where none is used', async () => {
    const { onStart, start } = await opens();
    await start();
    expect(onStart.mock.calls[0]![0]).not.toHaveProperty('switches');
    expect(onStart.mock.calls[0]![0]).not.toHaveProperty('answers');
  });

  it('says which ear there is, and that the texts are not reviewed', async () => {
    await opens();
    expect(await screen.findByText('Hears by the built-in recogniser.')).toBeTruthy();
    expect(screen.getByText('These texts have not been reviewed by a qualified person.')).toBeTruthy();
  });

  it('does not start with nothing to teach, and says so', async () => {
    const { onStart, lesson, start } = await opens();
    for (const step of lesson.module.steps) {
      await userEvent.click(screen.getByLabelText(lesson.teaching.steps[step.id]!.title));
    }
    await start();
    expect(onStart).not.toHaveBeenCalled();
    expect(screen.getByRole('alert').textContent).toBe('Choose at least one part to teach.');
  });

  it('offers the language pack only where it can be had, and says what came of it', async () => {
    let there = false;
    const install = vi.fn(async () => {
      there = true;
      return 'The language pack is installed.';
    });
    await opens({ offered: async () => !there, install });
    const button = await screen.findByRole('button', {
      name: "Install the browser's language pack: English",
    });
    expect(install).not.toHaveBeenCalled();
    await userEvent.click(button);
    expect(install).toHaveBeenCalledExactlyOnceWith('en');
    expect(await screen.findByText('The language pack is installed.')).toBeTruthy();
    expect(screen.queryByRole('button', { name: /language pack/ })).toBeNull();
  });

  it('keeps the button when the pack did not come', async () => {
    await opens({ offered: async () => true, install: async () => 'No answer within 30 seconds.' });
    await userEvent.click(await screen.findByRole('button', { name: /language pack/ }));
    expect(await screen.findByText('No answer within 30 seconds.')).toBeTruthy();
    expect(screen.getByRole<HTMLButtonElement>('button', { name: /language pack/ }).disabled).toBe(false);
  });

  it('has no such button where no pack is to be had', async () => {
    await opens({ offered: async () => false, install: async () => '' });
    await screen.findByText('Hears by the built-in recogniser.');
    expect(screen.queryByRole('button', { name: /language pack/ })).toBeNull();
  });
});
