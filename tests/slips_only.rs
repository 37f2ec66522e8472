mod slips;
