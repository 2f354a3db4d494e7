"""Season workbooks of many farms into one group: each figure by farm letter, quartiles, funnel plots, a page for each farm."""
