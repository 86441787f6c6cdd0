"""The whole pack on one page that opens from disk: numbers, pictures, a room to turn round, tables, sheets."""
