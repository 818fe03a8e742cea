"""What every reader needs: messages, quantities, files, nodes, notes of faults."""
