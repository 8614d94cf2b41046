// The layers in order and the chapters, in one place: import rules are made from it.
exports.LAYERS = ['base', 'mesh', 'geometry', 'workshop', 'documents', 'store', 'app'];
exports.CHAPTERS = ['model', 'wearer', 'pieces', 'printing', 'beds', 'assembly'];
