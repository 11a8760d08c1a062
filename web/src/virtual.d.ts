// Section `pages` of the catalogue, laid in by vite.config.js when the front end is built.
declare module 'virtual:words' {
  const strings: (typeof import('../../data/words/en.json'))['pages'];
  export default strings;
}
