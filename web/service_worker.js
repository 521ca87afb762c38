// Keeps the page itself on the device, so that it opens without a network. What the server says about a brief is never kept here.
const cacheName = 'oddgrist-__VERSION__';
const files = [/* FILES */];

self.addEventListener('install', (event) => {
  event.waitUntil(caches.open(cacheName).then((cache) => cache.addAll(files)).then(() => self.skipWaiting()));
});

self.addEventListener('activate', (event) => {
  const others = (names) => names.filter((name) => name.startsWith('oddgrist-') && name !== cacheName);
  event.waitUntil(
    caches.keys().then((names) => Promise.all(others(names).map((name) => caches.delete(name)))).then(() => self.clients.claim()),
  );
});

self.addEventListener('fetch', (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== 'GET' || url.origin !== self.location.origin || !files.includes(url.pathname)) return;
  event.respondWith(caches.open(cacheName).then((cache) => cache.match(url.pathname)).then((kept) => kept ?? fetch(event.request)));
});
