import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { App } from './App';
import { Kiosk } from './kiosk';
import { Offline, thisBrowser } from './offline/keep';
import './shared/tokens.css';

const kiosk = new Kiosk();
void kiosk.open();

const browser = thisBrowser();
if (browser) {
  const offline = new Offline(browser, kiosk.resting);
  offline.subscribe(() => kiosk.tell({ offline: offline.state() }));
  // The first screen and its voice come first.
  setTimeout(() => void offline.start(), 5_000);
}

createRoot(document.getElementById('root')!).render(
  <StrictMode>
    <App kiosk={kiosk} />
  </StrictMode>,
);
