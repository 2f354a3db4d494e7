"""What a season workbook consists of: columns, lists, settings, policy, alerts and sheets, each declared once."""
