"""The report on the screen and as JSON: findings, figures, the working behind them."""
