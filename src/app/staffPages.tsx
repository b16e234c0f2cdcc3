import { useEffect, useState } from 'react';

const load = () => import('./staff/pages');
export type StaffPages = Awaited<ReturnType<typeof load>>;

/** After which the first screen has surely been drawn, ms. */
const drawn = 3_000;

/**
 * The pages of the staff, which are a piece of their own: fetched when one is wanted, and else soon after the start,
 * so that they are there when a server is not. null: not yet; 'missing': cannot be fetched.
 */
export function useStaffPages(wanted: boolean): StaffPages | 'missing' | null {
  const [pages, setPages] = useState<StaffPages | 'missing' | null>(null);
  const here = pages !== null && pages !== 'missing';
  useEffect(() => {
    if (here) return;
    const fetchThem = () => void load().then(setPages, () => setPages('missing'));
    const timer = setTimeout(fetchThem, wanted ? 0 : drawn);
    return () => clearTimeout(timer);
  }, [wanted, here]);
  return pages;
}

/** In place of a page that could not be fetched: another version of the kiosk may have been built meanwhile. */
export function NotLoaded() {
  return (
    <main>
      <h1>This page could not be loaded.</h1>
      <button type="button" onClick={() => location.reload()}>
        Load the kiosk again
      </button>
    </main>
  );
}
