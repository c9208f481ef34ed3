#pragma once

#include <QWidget>

#include "core/report/agreement_view.h"

class QLabel;
class QTableView;
class QTransposeProxyModel;

namespace beatwitness::widgets {
class GroupTableModel;
class Section;
}  // namespace beatwitness::widgets

namespace beatwitness::app {

/// What stands beside the views of a project: the answer in words, its numbers, limits and why these,
/// verdicts, what a number means, cautions.
class PooledSide : public QWidget {
    Q_OBJECT

public:
    explicit PooledSide(QWidget* parent = nullptr);

    void setView(const report::AgreementView& view, bool sessionWeighted);
    /// In place of the number at hand here.
    void setMeaning(const QString& text);
    /// The numbers, tab separated.
    [[nodiscard]] QString asText() const;
    [[nodiscard]] QTableView& numbers() { return *numbers_; }

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void makeNumbers();
    void showVerdicts(const report::AgreementView& view);
    void showLimits(const report::AgreementView& view);
    void fit();

    QLabel *words_, *verdicts_, *limits_, *meaning_, *cautions_;
    widgets::Section *numbersPart_, *verdictPart_, *limitsPart_;
    widgets::GroupTableModel* model_;
    QTransposeProxyModel* upright_;
    QTableView* numbers_;
};

}  // namespace beatwitness::app
