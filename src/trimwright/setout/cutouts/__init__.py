"""What is cut out of pieces for what stands in their way: slots, holes, joints at pipes, grooves and housings."""
