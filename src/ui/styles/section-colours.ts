export { SECTION_COLOURS, sectionColour } from '../../model/section-colours.js';
