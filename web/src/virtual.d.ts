// Section `pages` of the catalogue, laid in by vite.config.js when the front end is built.
declare module 'virtual:words' {
  import type { Key } from './words';
  const strings: Record<Key, string>;
  export default strings;
}
