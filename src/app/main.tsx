import { type ReactNode, StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { App } from './App';
import { Kiosk } from './kiosk';
import { Offline, thisBrowser } from './offline/keep';
import './shared/tokens.css';

const root = createRoot(document.getElementById('root')!);
const show = (page: ReactNode) => root.render(<StrictMode>{page}</StrictMode>);

function openKiosk() {
  const kiosk = new Kiosk();
  void kiosk.open();
  const browser = thisBrowser();
  if (browser) {
    const offline = new Offline(browser, kiosk.resting);
    offline.subscribe(() => kiosk.tell({ offline: offline.state() }));
    // The first screen and its voice come first.
    setTimeout(() => void offline.start(), 5_000);
  }
  show(<App kiosk={kiosk} />);
}

// A window that only follows has no kiosk of its own: no microphone and no store.
if (new URLSearchParams(location.search).has('follow')) {
  void import('./follow/FollowPage').then(({ FollowPage }) => show(<FollowPage />));
} else openKiosk();
