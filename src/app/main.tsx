import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { App } from './App';
import { Kiosk } from './kiosk';
import './shared/tokens.css';

const kiosk = new Kiosk();
void kiosk.open();

createRoot(document.getElementById('root')!).render(
  <StrictMode>
    <App kiosk={kiosk} />
  </StrictMode>,
);
