import 'fake-indexeddb/auto';

/* Before the files that have a disk: what a browser has for it is there. Each test puts one in that is empty. */
