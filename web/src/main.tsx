import { render } from 'preact';
import './look/tokens.css';
import './look/look.css';
import './look/pages.css';
import './look/lists.css';
import './look/forms.css';
import './look/places.css';
import './look/place-plan.css';
import './look/supplies.css';
import './look/stock.css';
import './look/visit.css';
import './look/narrow.css';
import './look/print.css';
import { App } from './app';

// A held-down key is one press, not twenty (H07).
document.addEventListener('keydown', (event) => {
  if (event.repeat && (event.key === 'Enter' || event.key === ' ') && event.target instanceof HTMLButtonElement) event.preventDefault();
});

const root = document.getElementById('bench');
if (root) render(<App />, root);
