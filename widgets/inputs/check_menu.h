#pragma once

#include <QPushButton>
#include <QStringList>
#include <vector>

namespace beatwitness::widgets {

/// Some of a few things, none meaning all: a button that says which, and a menu that stays open while they
/// are ticked.
class CheckMenu : public QPushButton {
    Q_OBJECT

public:
    /// `all`: the button's words where nothing is ticked.
    CheckMenu(const QStringList& choices, const QString& all, QWidget* parent = nullptr);

    void setChecked(const std::vector<int>& indices);
    [[nodiscard]] std::vector<int> checked() const;

signals:
    /// Somebody ticked, and the menu closed.
    void chosen();

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void refresh();

    QString all_;
    bool touched_ = false;
};

}  // namespace beatwitness::widgets
