#pragma once

#include <QWidget>
#include <optional>

class QComboBox;
class QLabel;
class QSplitter;
class QTableView;

namespace beatwitness::widgets {
class AgreementMapView;
class AgreementTableModel;
}  // namespace beatwitness::widgets

namespace beatwitness::app {

class Document;

/// How far apart test and reference are: the density map, the numbers in words and as a table.
class AgreementPage : public QWidget {
    Q_OBJECT

public:
    explicit AgreementPage(Document& document, QWidget* parent = nullptr);

    [[nodiscard]] QSplitter& splitter() { return *splitter_; }
    [[nodiscard]] QList<QWidget*> panes() const;
    /// The selected part of the table, all of it without a selection; for a spreadsheet.
    [[nodiscard]] QString numbersAsText(bool selectedOnly) const;
    /// Rings the pair of that second in the map.
    void setCursor(std::optional<double> seconds);

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    QWidget* makeMiddle();
    QWidget* makeControls(QWidget* parent);
    QWidget* makeSide();
    QWidget* makeWords();
    QWidget* makeTable();
    void refreshSession();
    void refreshClock();
    void refreshSelection();
    void fitTable();

    Document& document_;
    widgets::AgreementMapView* map_ = nullptr;
    widgets::AgreementTableModel* model_ = nullptr;
    QTableView* table_ = nullptr;
    QLabel* words_ = nullptr;
    QLabel* readout_ = nullptr;
    QWidget* side_ = nullptr;
    QSplitter* splitter_ = nullptr;
};

}  // namespace beatwitness::app
