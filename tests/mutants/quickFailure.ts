// A mutant is killed by the first case that fails: a property test need not look for the smallest.
import fc from 'fast-check';

fc.configureGlobal({ ...fc.readConfigureGlobal(), endOnFailure: true });
