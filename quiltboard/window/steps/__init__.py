"""The side parts of the steps beside Arrange: fabrics, top, wedge, cut."""
