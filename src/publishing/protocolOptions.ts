export { protocolOptions } from '../pooling/protocolOptions.ts';
