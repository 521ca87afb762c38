import { render } from 'preact';
import './page.css';
import { askAfterStore } from './api';
import { ask } from './live';
import { Shell } from './shell';
import { dress, keep, state } from './state';

dress();
const place = document.getElementById('page');
if (place !== null) render(<Shell />, place);
ask();
void askAfterStore().catch(() => undefined);
window.addEventListener('pagehide', keep);
window.addEventListener('online', ask);
// A brief with an answer opens at the answer: that is what one comes back for.
if (state.answer !== null && window.innerWidth < 900) document.getElementById('proposal')?.scrollIntoView();
if ('serviceWorker' in navigator) void navigator.serviceWorker.register('/sw.js').catch(() => undefined);
