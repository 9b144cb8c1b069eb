// What the page says where a part of it did not arrive. A classic script, so that it needs nothing
// of what it watches; it stands before main.js in the page.

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

// The engine's file, main.js reports; main.js and all that it imports, the browser does.
addEventListener('incomplete', incomplete);
document.querySelector('script[type="module"]')?.addEventListener('error', incomplete);
