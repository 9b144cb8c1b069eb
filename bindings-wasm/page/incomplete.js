// Says so where a part of the page could not be loaded. A classic script before main.js, so that it
// depends on nothing that it watches.

'use strict';

function incomplete() {
  const words = 'The page could not be loaded completely. Check the connection and load it again.';
  document.body.classList.add('incomplete');
  document.body.dataset.state = 'broken';
  for (const id of ['verdict', 'to-weigh']) {
    const place = document.getElementById(id);
    if (place) place.textContent = words;
  }
}

// main.js reports the engine's file; the browser reports main.js and everything it imports.
addEventListener('incomplete', incomplete);
document.querySelector('script[type="module"]')?.addEventListener('error', incomplete);
