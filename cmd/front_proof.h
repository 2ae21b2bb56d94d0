/*
 * The works folder checked by day, as leat-check --tables does.
 */
#ifndef LEAT_CMD_FRONT_PROOF_H
#define LEAT_CMD_FRONT_PROOF_H

/* Checks all tables of the works folder, and those that options name in its place, and prints what is wrong with them as
 * CSV: file,line,column,severity,message.  operands: how many FILEs were given, which is misuse.  Raises the ledger:
 * FRONT_FAILED for a fault, FRONT_FOUND for a warning under -e. */
void front_proof(int operands);

#endif
