import { Suspense, useEffect, useSyncExternalStore } from 'react';
import { KioskPage } from './KioskPage';
import type { Kiosk, KioskState } from './kiosk';
import { fetchStaffPages, Recordings, ReviewPage, StartForm, Visits } from './staffPages';

/** After which the first screen has surely been drawn, ms. */
const drawn = 3_000;

/** Which page is on screen: the kiosk itself, or one of the staff's. */
export function App({ kiosk }: { kiosk: Kiosk }) {
  const state = useSyncExternalStore(kiosk.subscribe, kiosk.state);
  useEffect(() => {
    const timer = setTimeout(fetchStaffPages, drawn);
    return () => clearTimeout(timer);
  }, []);
  return (
    <Suspense>
      <Page kiosk={kiosk} state={state} />
    </Suspense>
  );
}

function Page({ kiosk, state }: { kiosk: Kiosk; state: KioskState }) {
  const { page, site, notices } = state;
  switch (page.at) {
    case 'opening':
      return null;
    case 'kiosk':
      return <KioskPage kiosk={kiosk} state={state} />;
    case 'start':
      return (
        site && (
          <StartForm
            site={site}
            lessons={page.lessons}
            ears={kiosk.ears}
            pack={kiosk.pack}
            onStart={kiosk.begin}
            onCancel={kiosk.idle}
          />
        )
      );
    case 'visits':
      return (
        <Visits
          visits={page.visits}
          notices={notices}
          onOpen={kiosk.review}
          onGoOn={kiosk.goOn}
          onRecordings={kiosk.openRecordings}
          onBack={kiosk.idle}
        />
      );
    case 'recordings':
      return (
        site && (
          <Recordings
            site={site}
            lessons={page.lessons}
            studio={kiosk.studio}
            notices={notices}
            onBack={kiosk.openVisits}
          />
        )
      );
    case 'review':
      return <ReviewPage stored={page.stored} onBack={kiosk.openVisits} />;
  }
}
