#pragma once

#include <QWidget>

#include "core/report/agreement_view.h"

class QComboBox;
class QHBoxLayout;

namespace beatwitness::widgets {
class CheckMenu;
}

namespace beatwitness::app {

/// What is looked at, each by one choice: session or project, device, activities, phases, ranges, clock,
/// epoch, reference faults, weighting, and what the table breaks down by.
class ScopeBar : public QWidget {
    Q_OBJECT

public:
    explicit ScopeBar(QWidget* parent = nullptr);

    /// Which of the two there is to look at.
    void setAvailable(bool session, bool project);
    [[nodiscard]] bool isProject() const;
    void setProject(bool project);
    /// Devices, activities, phases and ranges to choose from; what was chosen stays where it still exists.
    void setChoices(const report::AgreementChoices& choices, const std::vector<std::string>& devices);
    /// The clock shown; nothing is emitted.
    void setAligned(bool aligned);
    [[nodiscard]] bool aligned() const;
    void setDevice(const QString& device);
    [[nodiscard]] bool sessionWeighted() const;
    /// Faults of the reference can be kept only where the library's sessions are analysed anew for it.
    void setFaultsChoice(bool possible);

    /// The ask as chosen here; the rest is as in `ask`.
    [[nodiscard]] report::AgreementAsk asked(report::AgreementAsk ask) const;

signals:
    void scopeChanged();
    void clockChanged(bool aligned);
    void changed();

private:
    QComboBox* combo(const QString& name, const QStringList& items, const char* object);
    void remakeMenus();
    void refresh();

    QHBoxLayout* first_;
    QHBoxLayout* second_;
    QComboBox *scope_, *device_, *clock_, *epoch_, *faults_, *weight_;
    widgets::CheckMenu *activities_ = nullptr, *phases_ = nullptr, *ranges_ = nullptr, *by_ = nullptr;
    report::AgreementChoices choices_;
    std::vector<std::string> devices_;
};

}  // namespace beatwitness::app
