import { type ComponentType, lazy } from 'react';

const load = () => import('./staff/pages');
type Pages = Awaited<ReturnType<typeof load>>;

/** Fetches the pages of the staff beforehand, so that they are there when a server is not. Never rejects. */
export const fetchStaffPages = () => load().catch(() => null);

/** In place of a page that could not be fetched: another version of the kiosk may have been built meanwhile. */
function NotLoaded() {
  return (
    <main>
      <p>This page could not be loaded.</p>
      <button type="button" onClick={() => location.reload()}>
        Load the kiosk again
      </button>
    </main>
  );
}

const later = <Name extends keyof Pages>(name: Name) =>
  lazy<Pages[Name]>(() =>
    load().then(
      (pages) => ({ default: pages[name] }),
      () => ({ default: NotLoaded as ComponentType as Pages[Name] }),
    ),
  );

export const Recordings = later('Recordings');
export const ReviewPage = later('ReviewPage');
export const StartForm = later('StartForm');
export const Visits = later('Visits');
