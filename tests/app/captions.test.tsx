// @vitest-environment happy-dom
import { cleanup, render } from '@testing-library/react';
import { afterEach, describe, expect, it } from 'vitest';
import { Captions } from '../../src/app/shared/Captions';

afterEach(cleanup);

const sentences = ['One.', 'Two.', 'Three.'];
const now = (container: HTMLElement) => container.querySelector('[aria-live]')?.textContent;

describe('captions', () => {
  it('show the first sentence before the voice begins', () => {
    const { container } = render(<Captions sentences={sentences} speaking={-1} />);
    expect(now(container)).toBe('One.');
  });

  it('follow the voice and stay on what was said last when it falls silent', () => {
    const { container, rerender } = render(<Captions sentences={sentences} speaking={0} />);
    rerender(<Captions sentences={sentences} speaking={2} />);
    expect(now(container)).toBe('Three.');
    rerender(<Captions sentences={sentences} speaking={-1} />);
    expect(now(container)).toBe('Three.');
  });

  it('start anew with new sentences', () => {
    const { container, rerender } = render(<Captions sentences={sentences} speaking={2} />);
    rerender(<Captions sentences={['Four.', 'Five.']} speaking={-1} />);
    expect(now(container)).toBe('Four.');
  });

  it('are empty without sentences', () => {
    const { container } = render(<Captions sentences={[]} speaking={-1} />);
    expect(now(container)).toBe('');
  });
});
