// What can hurt at the bench and what is done about it; product sheets and local rules come first.

export const CAUTIONS = {
  primer:
    'Spray burns and its solvents harm: outdoors or with moving air, no flame, a half mask with cartridges for organic vapour and a filter before them. Two-part paints hold isocyanates, which only air-fed breathing keeps out: leave them to those equipped.',
  resin:
    'Uncured resin can make the skin allergic for good: gloves that it does not pass, no skin contact, sand only when it is fully cured and then wet.',
  putty:
    'The data sheet of such putty excludes plastics; makers use it all the same. Whether it holds on your plastic is yours to test on a scrap. Its solvent burns and harms: moving air, gloves.',
  filler:
    'Styrene in it harms and its hardener burns skin and eyes: moving air, a half mask for organic vapour, gloves and glasses. Mix only what you use within its time.',
  dust: 'Sand wet or wear a dust mask of class 2 at least. Two-part filler is sanded dry: it takes up water.',
  spirit:
    'White spirit burns and its vapour harms: moving air, gloves; rags with oil or enamel can catch fire by themselves, dry them spread out.',
  blade: 'A blade slips: scrape away from the hand that holds the piece.',
} as const;
